import { Button } from '../parts/button.js';
import { Help } from '../parts/help.js';
import { Status } from '../parts/status.js';
import { texts } from '../texts/texts.js';
import type { Result } from './desk/messages.js';
import type { Looking } from './looking.js';
import type { TakeModel } from './model.js';
import type { Playback, Side } from './playback.js';
import { timeIn } from './telling.js';

interface ListenProps {
  readonly model: TakeModel;
  readonly looking: Looking;
  readonly result: Result;
  readonly playback: Playback;
}

/** Plays what is shown, by A or by B, from the line on where that is in view. */
export function Listen({ model, looking, result, playback }: ListenProps) {
  const all = texts.value;
  const t = all.take.play;
  const { from, to } = model.span.value;
  const line = looking.cursor.value?.t ?? null;
  const part = { from: line !== null && line > from && line < to ? line : from, to };
  const heard = playback.heard.value;
  const play = (side: Side): void => {
    void playback.play(result, side, part);
  };
  const going = heard !== null || playback.opening.value;
  return (
    <section class="sheet stack" aria-labelledby="take-listen">
      <h3 id="take-listen">{t.heading}</h3>
      <div class="row">
        <Button onPress={() => play('a')}>{t.a}</Button>
        <Button onPress={() => play('b')}>{t.b}</Button>
        <Button disabled={!going} onPress={playback.stop}>
          {t.stop}
        </Button>
        <output class="take-time">
          {heard ? t.playing(heard.side.toUpperCase(), timeIn(all, heard.t, 1)) : null}
        </output>
      </div>
      <Help>
        {t.from(timeIn(all, part.from), timeIn(all, part.to))} {t.caution}
      </Help>
      <p role="status">
        <Standing playback={playback} />
      </p>
    </section>
  );
}

function Standing({ playback }: { readonly playback: Playback }) {
  const { take, sound } = texts.value;
  const fault = playback.fault.value;
  const state = playback.state.value;
  if (fault !== null) return <Status standing="bad">{sound.notHere(fault)}</Status>;
  if (playback.opening.value) return <>{take.play.starting} …</>;
  if (state === 'held') return <Status standing="warn">{take.play.held}</Status>;
  if (state === 'hidden') return <Status standing="plain">{take.play.hidden}</Status>;
  if (state === 'failed') return <Status standing="bad">{sound.states.failed}</Status>;
  return null;
}
