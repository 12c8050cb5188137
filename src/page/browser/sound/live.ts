import { effect, untracked } from '@preact/signals';
import { soundOf, type SeatSound } from '../../../engine/seat-sound.js';
import type { Mix, VoiceEvent, VoiceOn } from '../../../room/voice.js';
import type { PageSeat } from '../../link/state.js';
import type { Connection, Voices } from '../connection.js';
import { ClockOffset } from './clock-offset.js';
import { LiveDelay } from './live-delay.js';
import type { Sink } from './sink.js';

/** What came later than this, in ms, is no music any more: it begins no note, but still ends them. */
const STALE = 500;
/** For how long the readings of the service's and of the device's clock count, in ms. */
const SERVICE_COUNTED = 10_000;
const CONTEXT_COUNTED = 4_000;

/** Sounds what the room plays while it is let, until `end`. */
export class Live {
  private readonly delay = new LiveDelay();
  /** From the service's clock to the page's, and from the context's to the page's. */
  private readonly service = new ClockOffset(SERVICE_COUNTED);
  private readonly context = new ClockOffset(CONTEXT_COUNTED);
  private readonly leave: (() => void)[];
  private last = 0;
  private heard = false;
  /** By slot, whose voices the renderer makes; null: it was told of nobody yet. */
  private ids: ReadonlyMap<number, number> | null = null;
  /** What the renderer was told to begin and not to end yet. */
  private readonly sounding = new Map<number, VoiceOn>();

  constructor(
    private readonly sink: Sink,
    private readonly connection: Connection,
    /** Told why the service will not send voices; null: it does. */
    private readonly onRefused: (why: string | null) => void,
  ) {
    this.leave = [
      connection.onVoices((voices) => {
        if (this.heard) this.onVoices(voices);
      }),
      effect(() => {
        const seats = connection.state.seats.value;
        untracked(() => {
          this.followSeats(seats);
        });
      }),
      effect(() => {
        const open = connection.link.value === 'open';
        untracked(() => {
          if (!open) this.linkLost();
          else if (this.heard) this.ask(true);
        });
      }),
    ];
  }

  /** From a voice's own time until it is given to the device, in ms. */
  get delayMs(): number {
    return this.delay.now + this.sink.ahead();
  }

  /** Whether it sounds the room; where it stops, what sounded has ended. */
  hear(on: boolean): void {
    if (on === this.heard) return;
    this.heard = on;
    this.forget();
    if (on) this.mixAnew();
    if (this.connection.link.peek() === 'open') this.ask(on);
  }

  /** The device begins again: its clock stood still meanwhile, and it knows nothing of changed mixes. */
  begunAnew(): void {
    this.context.reset();
    this.mixAnew();
  }

  /** To be called some times a second: compares the clocks. */
  tick(): void {
    this.context.add(this.sink.time(), this.sink.now());
  }

  /** Some came too late to their frames, by so many at most. */
  missed(frames: number): void {
    this.delay.missed((frames * 1_000) / this.sink.sampleRate);
  }

  end(): void {
    this.hear(false);
    for (const leave of this.leave) leave();
  }

  /** Ends what sounds; what comes later is heard. */
  silence(): void {
    this.sink.silence();
    this.sounding.clear();
    this.last = 0;
  }

  private ask(on: boolean): void {
    void this.connection.ask({ ask: 'voices', on }).then((why) => {
      if (on && this.heard) this.onRefused(why);
    });
  }

  private linkLost(): void {
    this.forget();
    // It may be another service when it comes back, with another clock.
    this.service.reset();
  }

  private forget(): void {
    this.silence();
    this.context.reset();
  }

  private onVoices({ lost, now, events }: Voices): void {
    const at = this.sink.now();
    this.service.add(now / 1_000, at);
    this.tick();
    if (lost) {
      this.silence();
      this.mixAnew();
    }
    // Nothing before a silence is to be heard any more, and it does not wait.
    const hush = events.findLastIndex(({ type }) => type === 'silence');
    if (hush >= 0) this.silence();
    const wanted = events.filter((event, i) => {
      if (event.type === 'mix') return true;
      if (i <= hush) return false;
      const late = at - this.service.offset - event.t / 1_000;
      this.delay.add(Math.min(late, STALE), at);
      return event.type !== 'on' || late <= STALE;
    });
    for (const event of wanted) {
      if (event.type === 'on') this.sounding.set(event.voice, event);
      else if (event.type === 'off') this.sounding.delete(event.voice);
    }
    if (wanted.length > 0) this.sink.send(wanted, this.framesOf(wanted));
  }

  private framesOf(events: readonly VoiceEvent[]): number[] {
    const { sink, service, context, delay } = this;
    const behind = delay.now + sink.ahead() + service.offset - context.offset;
    const latest = sink.time() + sink.ahead() + STALE;
    return events.map(({ t }) => {
      const ms = Math.min(t / 1_000 + behind, latest);
      // An end must never come before its beginning, though the delay gets shorter.
      this.last = Math.max(this.last, Math.round((ms * sink.sampleRate) / 1_000));
      return this.last;
    });
  }

  /** Seats that come, go or get another instrument: what the others sound goes on. */
  private followSeats(seats: readonly PageSeat[] | null): void {
    if (!seats) return;
    const wanted = soundsBySlot(seats);
    const ids = new Map(seats.map(({ id, slot }) => [slot, id]));
    const { ids: before, sink } = this;
    this.ids = ids;
    const slots = Array.from({ length: Math.max(wanted.length, sink.seats.length) }, (_, i) => i);
    const fits = (slot: number): boolean => alike(sink.seats[slot] ?? null, wanted[slot] ?? null);
    if (before === null) {
      if (!slots.every(fits)) sink.begin(wanted);
      return;
    }
    const others = slots.filter((slot) => !fits(slot) || before.get(slot) !== ids.get(slot));
    const events = others.flatMap((slot) => this.replace(slot, wanted[slot] ?? null));
    // Behind all that is on its way to the renderer, which may hold ends of the seats that left.
    if (events.length === 0) return;
    sink.send(
      events,
      events.map(() => this.last),
    );
  }

  /** Another seat, or none, in a slot: what its voices still sound there ends. */
  private replace(slot: number, sound: SeatSound | null): VoiceEvent[] {
    const own = [...this.sounding.values()].filter(({ seat }) => seat === slot);
    const ends = own.map(({ voice, seat, note, string }): VoiceEvent => {
      this.sounding.delete(voice);
      return { type: 'off', t: 0, voice, seat, note, string, slurred: false };
    });
    const left: VoiceEvent = { type: 'left', t: 0, seat: slot };
    return [
      ...ends,
      left,
      ...(sound ? [{ type: 'joined', t: 0, seat: slot, sound } as const] : []),
    ];
  }

  /** How the seats are mixed now; the room itself tells only of what changes. */
  private mixAnew(): void {
    const seats = this.connection.state.seats.peek();
    if (!seats) return;
    const mixes = seats.map(({ slot, mix }): Mix => {
      const { level, pan, sound, lead } = mix;
      return { type: 'mix', t: 0, seat: slot, level, pan, sound, lead };
    });
    this.sink.send(
      mixes,
      mixes.map(() => 0),
    );
  }
}

/** By slot, what the renderer needs to know of the seats as pages see them; null where nobody plays. */
export function soundsBySlot(seats: readonly PageSeat[]): (SeatSound | null)[] {
  const sounds: (SeatSound | null)[] = [];
  for (const { slot, name, instrument, mix } of seats) {
    for (let i = sounds.length; i < slot; i++) sounds[i] = null;
    sounds[slot] = soundOf({ name, level: mix.level, pan: mix.pan, sound: mix.sound }, instrument);
  }
  return sounds;
}

function alike(a: SeatSound | null, b: SeatSound | null): boolean {
  return a?.kind === b?.kind && a?.strings === b?.strings;
}
