import { join, resolve } from 'node:path';
import { drumName } from '../../instrument/drum-names.js';
import { pitchName } from '../../instrument/pitch.js';
import { CLASS_CEILING, type Ceiling } from '../../instrument/ceiling.js';
import type { Instrument, OscMessages, Rules, To } from '../../instrument/types.js';
import { buildGuard } from '../../ports/build-guard.js';
import { planSeat, seatSounds, type PlannedSeat } from '../../ports/connect.js';
import { loadWholeRoom, type WholeRoom } from '../../ports/files/room.js';
import { calmTell } from '../../ports/calm-tell.js';
import { liveClock } from '../../ports/live-clock.js';
import { liveRoom } from '../../ports/room/live.js';
import { networkBudget } from '../../ports/osc/network-budget.js';
import { playingRoom } from '../../ports/room/playing.js';
import { roomControl, type RoomControl } from '../../ports/room/control.js';
import { roomEngines } from '../../ports/room/engines.js';
import { seatWords } from '../../ports/room/news.js';
import { roomPlan } from '../../ports/room/plan.js';
import { newRecordingFolder } from '../../ports/takes/recordings.js';
import { recordRoom } from '../../ports/takes/room-recorder.js';
import { rulesChoice, type RulesChoice } from '../../ports/room/rules-choice.js';
import { roomSeats, type SeatFollower } from '../../ports/room/seats.js';
import { openSources } from '../../ports/room/sources.js';
import { fromWords, toWords } from '../../ports/room/words.js';
import { startService, type ServiceSeat } from '../../ports/service.js';
import { tellLoudness } from '../../ports/sound/loudness-words.js';
import { warmUp } from '../../ports/warm-up.js';
import { pageHost, type PageHost } from '../../page/host/host.js';
import type { RoomPlan } from '../../room/plan.js';
import type { Clock } from '../../time/clock.js';
import { SECOND } from '../../time/micros.js';
import type { VoiceEvent, VoiceOn } from '../../room/voice.js';
import { EXIT, FOLDER, folderOf, textOf, type Call, type Command, type Exit } from '../cli.js';
import { endRecording, tellRecording } from './kept.js';
import { PAGE_OPTIONS, pageWish, tellLinks, type PageWish } from './page.js';
import { silencing } from '../silencing.js';
import { requireTakes, TRUST, trustOf, trustOwn } from '../trust.js';
import { untilStopped } from '../stopping.js';
import { suspending } from '../suspending.js';
import { version } from '../version.js';

/** What sounds, and where on the instrument. */
function noteWords(
  event: VoiceOn,
  instrument: Instrument,
  isOwnLogic: boolean,
): { what: string; where: string } {
  const pitch = pitchName(event.note);
  switch (instrument.kind) {
    case 'strings': {
      const note = instrument.strings[event.string]?.open ?? 0;
      const open = pitchName(note);
      if (event.fret > 0) return { what: pitch, where: `fret ${String(event.fret)} of ${open}` };
      // A module need not say at which fret its note is; then it is 0.
      const isUnsaid = isOwnLogic && event.note !== note;
      return { what: pitch, where: isUnsaid ? `string ${open}` : 'open string' };
    }
    case 'keys':
      return { what: pitch, where: `key ${String(event.string + 1)}` };
    case 'holes':
      return { what: pitch, where: '' };
    case 'hits':
      return { what: drumName(event.note), where: '' };
  }
}

/** One line for a note that begins. */
export function noteLine(event: VoiceOn, { name, plan }: ServiceSeat): string {
  const seconds = (event.t / SECOND).toFixed(3).padStart(9);
  const { what, where } = noteWords(event, plan.instrument, plan.rules.logic !== null);
  const begins = ['pluck', 'press', 'blow', 'hit'].includes(event.how);
  const parts = [where, `velocity ${String(event.velocity)}`, begins ? '' : event.how];
  return `${seconds} s  ${name}  ${what.padEnd(3)}  ${parts.filter(Boolean).join(', ')}`;
}

/** What the sound of the room keeps to: its own built-in engine's ceiling, if it has one. */
function ceilingOf(to: readonly To<OscMessages>[]): Ceiling {
  return to.find((one) => 'builtin' in one)?.builtin.ceiling ?? CLASS_CEILING;
}

/** What a page must be told of who plays. */
function followerOf(page: PageHost): SeatFollower {
  const from = ({ ready }: PlannedSeat): string => fromWords(ready.seat.from);
  return {
    joins: (slot, planned, mix) => page.join(slot, planned, from(planned), mix),
    reseats: (slot, planned, mix) => page.reseat(slot, planned, from(planned), mix),
    left: (slot) => page.leave(slot),
    order: (slots) => page.order(slots),
  };
}

interface PageParts {
  readonly call: Call;
  readonly name: string;
  readonly folder: string;
  readonly whole: WholeRoom;
  readonly planned: readonly PlannedSeat[];
  readonly shares: RoomPlan;
  readonly clock: Clock;
}

/** The room's side of its page, which watches what is played from the first reading on. */
function pageOf(wish: PageWish, parts: PageParts): PageHost {
  const { call, name, folder, planned, shares, clock } = parts;
  const { to } = parts.whole.room;
  const builtin = to.find((one) => 'builtin' in one)?.builtin;
  const record = textOf(call, 'record');
  return pageHost({
    roomName: name,
    folder,
    planned,
    room: shares,
    clock,
    tell: call.tell,
    port: wish.port,
    network: wish.network,
    version: version(),
    seed: builtin?.seed ?? 1,
    takeFolders: [join(folder, 'recordings'), ...(record === undefined ? [] : [resolve(record)])],
    from: planned.map(({ ready }) => fromWords(ready.seat.from)),
    // Not by way of the page, which shows guests too what it was told: a link is a key.
    onServing: tellLinks(wish, call.tell),
  });
}

async function run(call: Call): Promise<Exit> {
  const { say } = call;
  const wish = pageWish(call);
  const [name = 'demo'] = call.words;
  const folder = folderOf(call);
  const whole = await loadWholeRoom(name, folder);
  const { room, seats } = whole;
  const planned = seats.map(planSeat);
  const trust = trustOf(call);
  await requireTakes(seats, trust);
  trustOwn(seats);
  const sounds = seatSounds(seats);
  const asked = textOf(call, 'record');
  const dated = asked === undefined ? null : newRecordingFolder(asked);
  const directory = dated?.path;
  const shares = roomPlan(room, seats);
  const recorder = directory === undefined ? null : recordRoom(directory, planned, shares);

  const clock = liveClock();
  const page = wish && pageOf(wish, { call, name, folder, whole, planned, shares, clock });
  const tell = page?.tell ?? call.tell;
  void recorder?.failed.then(({ message }) => {
    const next =
      'Playing goes on, but no more is kept there: make room on the disk, then play again';
    tell({ level: 'error', what: message, where: 'recording', next });
  });
  if (dated) tellRecording(dated, planned, tell);
  for (const { ready } of planned) {
    tell({ level: 'info', what: seatWords(ready), where: `seat ${ready.seat.name}` });
  }
  for (const to of room.to) tell({ level: 'info', what: `Notes go to ${toWords(to)}` });

  warmUp(planned[0]!.plan, sounds[0]!);
  const engines = roomEngines(room.to, sounds, {
    clock,
    tell,
    ...(page && { wrap: (all, ceilings) => page.engines(all, ceilings) }),
  });
  const fromNetwork = calmTell(tell);
  const budget = networkBudget({ tell });
  const sources = openSources(planned, clock, tell, {
    folder,
    budget,
    trust,
    played: true,
    forget: call.values['forget-units'] === true,
    onProgram: (seat, program) => wanted?.numbered(seat, program),
  });
  // Other rules are asked for by what is opened before there is a service that could swap them.
  let wanted: RulesChoice | null = null;
  const builds = buildGuard({
    room: name,
    tell,
    swap: (seat, files) => service.swap(seat, files),
    onFit: (seat, misfit) => page?.misfit(seat, misfit),
  });
  for (const [seat, { ready, plan }] of planned.entries()) {
    builds.seat(seat, { name: ready.seat.name, build: ready.seat.build, plan });
  }
  const service = startService({
    onGesture: (seat) => wanted?.next(seat),
    seats: planned.map(({ ready, plan }) => ({ name: ready.seat.name, plan })),
    room: shares,
    sources: [sources],
    engines: engines.all,
    clock,
    tell,
    onReading(event) {
      builds.reading(event);
      recorder?.reading(event);
      page?.reading(event);
    },
    onChange(change) {
      recorder?.change(change);
      page?.change(change);
    },
    onSeating(event) {
      builds.seating(event);
      recorder?.seating(event);
    },
    ...(page && { watchOf: (seat: number) => page.watchOf(seat) }),
    onVoice: (event: VoiceEvent) => {
      recorder?.voice(event);
      page?.voice(event);
      if (event.type !== 'on' || call.values.quiet === true) return;
      const seat = service.seatAt(event.seat);
      if (seat) say(noteLine(event, seat));
    },
  });
  const stopped = untilStopped(service, tell);
  const playing = roomSeats(seats, {
    service,
    sources,
    ...(page && { follower: followerOf(page) }),
  });
  const load = (wanted: string): Promise<Rules> => live.rules(wanted);
  const rules = rulesChoice({ seats, folder, service, tell: fromNetwork, load });
  wanted = rules;
  const names = (): (string | null)[] => playing.all.map((one) => one?.seat.name ?? null);
  let control: RoomControl | null = null;
  const setControl = async (at: WholeRoom['room']['control']): Promise<void> => {
    await control?.close();
    const options = { seats: names, service, rules, budget, tell: fromNetwork };
    control = at && roomControl({ port: at.osc, host: at.host, ...options });
  };
  await setControl(room.control);
  const apply = playingRoom({
    folder,
    service,
    seats: playing,
    engines,
    rules,
    control: setControl,
    onSeats(now) {
      trustOwn(playing.all);
      for (const [slot, one] of playing.all.entries()) {
        if (one) builds.named(slot, one.seat.build);
      }
      page?.update(now);
    },
  });
  const live = liveRoom({ name, folder, whole, tell, apply });
  page?.start({ service, rules, live, screen: sources.screen });
  // Whoever stops it now need not wait for the files to be watched.
  await Promise.race([live.ready, stopped]);
  const silent = silencing(() => {
    service.silence();
    tell({ level: 'info', what: 'Silenced', next: 'Play on when you like.' });
  });
  const unsuspend = suspending(service, silent);
  const hush = silent.words === '' ? '' : `; ${silent.words} only silences`;
  // Of a terminal's keys, pages need not hear.
  call.tell({
    level: 'info',
    what: 'Playing',
    next: `Ctrl-C silences everything and ends${hush}.`,
  });
  await stopped;
  page?.ended();
  unsuspend();
  silent.close();
  try {
    await live.close();
    await setControl(null);
    for (const engine of engines.all) {
      tellLoudness(engine.loudness?.() ?? null, engine.name, tell);
    }
    const ceiling = ceilingOf(live.whole.room.to);
    if (recorder && directory !== undefined)
      await endRecording(recorder, { directory, seats: sounds, ceiling, tell });
  } finally {
    await page?.close();
  }
  return EXIT.done;
}

export const play: Command = {
  name: 'play',
  summary: 'play a room: readings in, notes out, until Ctrl-C',
  usage: ['play [ROOM] [OPTIONS]'],
  about: `Plays a room: readings from its seats go through the playing logic to its engines, until
Ctrl-C, or until every seat's take or player has ended. ROOM is the name of a room file or a path;
left out, it is "demo", which needs no device and no synth. Notes are printed as they sound. The
space bar silences what sounds, and so does the signal USR1; the room plays on. A browser shows the
room while it plays: its link is printed as "Page".`,
  words: 1,
  options: {
    record: {
      takes: 'DIR',
      about: `keep in a new folder of DIR, named by the date: a take of each seat, one of the whole room, the
        notes and, when it ends, a WAV of what the built-in engine makes of them; DIR/latest leads to the
        last one`,
    },
    'forget-units': {
      about: `forget which unit plays at which seat (kept in units.jsonl), and have each seat's unit
        touched again`,
    },
    quiet: { about: 'do not print notes' },
    ...TRUST,
    ...PAGE_OPTIONS,
    ...FOLDER,
  },
  run,
};
