import { soundOf, type SeatSound } from '../../../../engine/seat-sound.js';
import type { SeatPlan } from '../../../../pipeline.js';
import type { VoiceEvent } from '../../../../room/voice.js';
import { levelCurves } from '../../../../compare/levels.js';
import { playedNotes } from '../../../../compare/notes.js';
import { compareRuns, placeOfAsked, type Run } from '../../../../compare/run.js';
import { windowOfInterest } from '../../../../compare/window.js';
import { explain } from '../../../../explain/explain.js';
import { inWords } from '../../../../explain/in-words.js';
import { isMidiFile, readMidiNotes } from '../../../../takes/read-midi.js';
import { kindOfFile, readNotes, type ListedNote } from '../../../../takes/read-notes.js';
import { rerun } from '../../../../takes/rerun.js';
import type { OnFault } from '../../../../time/alongside.js';
import { MILLISECOND, type Micros } from '../../../../time/micros.js';
import type { WireEvent } from '../../../../wire/scan.js';
import { DeskFault } from './faults.js';
import type { Service } from './fetching.js';
import type { Asks, By, Note, Progress, RunResult } from './messages.js';
import { ownEvents, ownTake, seatPlan, takeOnDesk, wholePlan } from './open-take.js';
import type { TakeOnDesk } from './open-take.js';
import { pyramidOf, type LevelPyramid } from './pyramid.js';
import { unpack, wholeText } from './unpack.js';

/** How much is looked at before and after a time, as `explain` does. */
const AROUND: Micros = 300 * MILLISECOND;
/** Progress is told once in so many events. */
const OFTEN = 2_000;

/** What a take run by A gives, kept for the next B. */
interface Side {
  readonly voices: readonly VoiceEvent[];
  readonly levels: readonly LevelPyramid[];
  readonly said: readonly Note[];
}

type Tell = (progress: Progress) => void;
type Ask<Name extends keyof Asks> = Asks[Name]['ask'];
type Answer<Name extends keyof Asks> = Asks[Name]['answer'];

/**
 * Runs a take by rules, and says what differs and why: all that the take view shows, with nothing of a
 * browser in it. One take at a time.
 */
export class Desk {
  private take: TakeOnDesk | null = null;
  private wanted: readonly ListedNote[] | null = null;
  /** By A, of the take that is open: B is what changes again and again. */
  private last: { readonly key: string; readonly side: Side } | null = null;

  constructor(private readonly service: Service) {}

  async open({ source }: Ask<'open'>, tell: Tell): Promise<Answer<'open'>> {
    const listed = 'listed' in source;
    const name = listed ? source.listed : source.device.name;
    const bytes = listed
      ? await this.service.take(name, (share) => tell({ step: 'fetch', share }))
      : new Uint8Array(source.device.bytes);
    tell({ step: 'read', share: null });
    this.take = await takeOnDesk(name, unpack(bytes));
    this.last = null;
    return this.take.opened;
  }

  async setWanted({ file }: Ask<'wanted'>): Promise<Answer<'wanted'>> {
    this.wanted = null;
    if (!file) return { count: 0, notes: [] };
    const bytes = new Uint8Array(file.bytes);
    if (isMidiFile(bytes)) return this.wantMidi(bytes);
    const unpacked = unpack(bytes);
    const text = await wholeText(unpacked);
    const kind = kindOfFile(text);
    if (kind !== 'notes') throw new DeskFault({ kind: 'not-notes', take: kind === 'take' });
    const { notes, problems } = readNotes(text);
    this.wanted = notes;
    const said: Note[] = unpacked.cut() ? [{ kind: 'cut-gzip' }] : [];
    const [first] = problems;
    if (first) said.push({ kind: 'lines', of: 'wanted', count: problems.length, ...first });
    if (notes.length === 0) said.push({ kind: 'none-wanted' });
    return { count: notes.length, notes: said };
  }

  private wantMidi(bytes: Uint8Array): Answer<'wanted'> {
    const { notes } = readMidiNotes(bytes);
    this.wanted = notes;
    return { count: notes.length, notes: notes.length === 0 ? [{ kind: 'none-wanted' }] : [] };
  }

  async compare({ seat, a, b }: Ask<'compare'>, tell: Tell): Promise<Answer<'compare'>> {
    const desk = this.opened();
    const plans = {
      a: await this.plan(desk, seat, a),
      b: await this.plan(desk, seat, b),
    };
    const events = ownEvents(desk, seat);
    const key = JSON.stringify([seat, plans.a]);
    if (this.last?.key !== key) this.last = { key, side: this.run(events, plans.a, tell) };
    const { said: saidA, voices, levels } = this.last.side;
    const said = [...swappedLogic(events), ...saidA];
    const sides = {
      a: voices,
      b: voicesOf(events, plans.b, (share) => tell({ step: 'b', share }), said),
    };
    const alike = plans.a.rules.name === plans.b.rules.name;
    const run = (side: 'a' | 'b', by: By): Run => ({
      name: alike && by.by !== 'played' ? by.name : plans[side].rules.name,
      plan: plans[side],
      notes: playedNotes(sides[side]),
    });
    const compared = compareRuns({
      path: desk.opened.name,
      take: ownTake(desk, seat, events),
      a: run('a', a),
      b: run('b', b),
      length: events.at(-1)?.t ?? 0,
      wanted: this.wanted,
      apart: null,
    });
    const { length, instrument, notes, within, rules, judged, wanted } = compared;
    const result = (side: 'a' | 'b'): RunResult => ({
      name: compared[side].name,
      notes: compared[side].notes.length,
      on: plans[side].rules.touch.on,
      events: sides[side],
    });
    return {
      instrument,
      length,
      within,
      rules,
      notes,
      judged,
      said,
      a: result('a'),
      b: result('b'),
      sound: soundFor(desk, seat, plans.a),
      wanted: wanted && wanted.map((note) => ({ note, place: placeOfAsked(note, compared) })),
      window: windowOfInterest(notes, length),
      levels,
    };
  }

  async explain({ seat, by, at, pad }: Ask<'explain'>, tell: Tell): Promise<Answer<'explain'>> {
    const desk = this.opened();
    tell({ step: 'explain', share: null });
    const { seats, room, names } = await wholePlan(desk, by, this.service);
    const plan = seats[seat]!;
    refuse(plan);
    const others = seats.flatMap(({ rules }, i) => (i !== seat && rules.logic ? [names[i]!] : []));
    const said: Note[] = [
      ...swappedLogic(ownEvents(desk, seat)),
      ...(others.length > 0 ? [{ kind: 'others-logic', seats: others } as const] : []),
    ];
    const asked = {
      events: () => atOnce(desk.events),
      seats,
      room,
      seat,
      from: Math.max(0, at - AROUND),
      to: at + AROUND,
    };
    const explained = await explain(asked, at, pad, faultTeller(said));
    const titles = { path: desk.opened.name, seats: names, seat };
    return { ...inWords(explained, titles), rules: explained.rules.name, said };
  }

  private run(events: readonly WireEvent[], plan: SeatPlan, tell: Tell): Side {
    const said: Note[] = [];
    const voices = voicesOf(events, plan, (share) => tell({ step: 'a', share }), said);
    tell({ step: 'levels', share: null });
    const length = events.at(-1)?.t ?? 0;
    const levels = levelCurves(events, plan).map((curve) => pyramidOf(curve, length));
    return { voices, levels, said };
  }

  private opened(): TakeOnDesk {
    if (this.take) return this.take;
    throw new DeskFault({ kind: 'broken', what: 'no take is open' });
  }

  private async plan(desk: TakeOnDesk, seat: number, by: By): Promise<SeatPlan> {
    const plan = await seatPlan(desk, seat, by, this.service);
    refuse(plan);
    return plan;
  }
}

async function* atOnce<Event>(events: readonly Event[]): AsyncGenerator<readonly Event[], void> {
  yield await Promise.resolve(events);
}

/** What cannot be run here. */
function refuse({ rules, made }: SeatPlan): void {
  if (made) throw new DeskFault({ kind: 'made' });
  if (rules.logic) {
    throw new DeskFault({ kind: 'own-logic', rules: rules.name, file: rules.logic.file });
  }
}

function swappedLogic(events: readonly WireEvent[]): Note[] {
  for (const event of events) {
    if (event.type !== 'swap' || !event.rules?.logic) continue;
    return [{ kind: 'swapped-logic', t: event.t, file: event.rules.logic.file }];
  }
  return [];
}

function voicesOf(
  events: readonly WireEvent[],
  plan: SeatPlan,
  tell: (share: number) => void,
  said: Note[],
): VoiceEvent[] {
  function* counted(): Generator<WireEvent, void> {
    for (const [i, event] of events.entries()) {
      if (i % OFTEN === 0) tell(i / events.length);
      yield event;
    }
  }
  const voices: VoiceEvent[] = [];
  rerun(counted(), plan, faultTeller(said)).subscribe((event) => voices.push(event));
  return voices;
}

function faultTeller(said: Note[]): OnFault {
  return (_seat, t, error) => {
    said.push({ kind: 'failed', t, what: (error as Error).message });
  };
}

/** How the seat sounded in its room; of one seat alone, as its instrument does. */
function soundFor({ room, opened }: TakeOnDesk, seat: number, { instrument }: SeatPlan): SeatSound {
  const own = room?.header.room.seats[seat];
  const name = opened.seats[seat]?.name ?? '';
  return soundOf({ name, level: own?.level ?? 0.8, pan: 0, sound: own?.sound ?? null }, instrument);
}
