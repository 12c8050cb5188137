import { useSignal } from '@preact/signals';
import type { PitchClasses } from '../../../instrument/types.js';
import type { Connection } from '../connection.js';
import { ask } from '../parts/ask.js';
import { Choice } from '../parts/choice.js';
import { Help } from '../parts/help.js';
import { Toggle } from '../parts/toggle.js';
import { texts } from '../texts/texts.js';
import { classesOf, nameScale, SCALE_NAMES, type NamedScale, type ScaleName } from './scales.js';

interface ScaleLockProps {
  readonly connection: Connection;
  readonly scale: PitchClasses | null;
}

const ALL = 'all';
const OTHER = 'other';
const CLASSES = Array.from({ length: 12 }, (_, note) => note);

/** Which notes the room plays: by key and name, or one by one. */
export function ScaleLock({ connection, scale }: ScaleLockProps) {
  const before = useSignal<NamedScale | null>(null);
  const byHand = useSignal(false);
  const t = texts.value.room;
  const guest = connection.guest.value;
  const named = scale && !byHand.value ? nameScale(scale, before.value) : null;
  const key = named?.key ?? before.value?.key ?? 0;
  const wish = (classes: number[] | null): void => {
    void ask(connection, { ask: 'room', scale: classes });
  };
  const name = (one: NamedScale): void => {
    before.value = one;
    wish(classesOf(one));
  };
  const choose = (value: string): void => {
    byHand.value = value === OTHER;
    if (value === ALL) wish(null);
    else if (value === OTHER) wish([...(scale ?? CLASSES)]);
    else name({ name: value as ScaleName, key });
  };
  return (
    <div class="stack">
      <div class="row scale">
        <Choice
          label={t.scale}
          value={scale === null ? ALL : (named?.name ?? OTHER)}
          options={[
            { value: ALL, words: t.allNotes },
            ...SCALE_NAMES.map((value) => ({ value, words: t.scaleNames[value] })),
            { value: OTHER, words: t.otherNotes },
          ]}
          disabled={guest}
          onChoose={choose}
        />
        {named ? (
          <Choice
            label={t.key}
            value={String(key)}
            options={t.noteNames.map((words, i) => ({ value: String(i), words }))}
            disabled={guest}
            onChoose={(value) => {
              name({ ...named, key: Number(value) });
            }}
          />
        ) : null}
      </div>
      {scale !== null && named === null ? (
        <fieldset disabled={guest}>
          <legend class="unseen">{t.otherNotes}</legend>
          <div class="row">
            {CLASSES.map((note) => (
              <Toggle
                key={note}
                on={scale.includes(note)}
                disabled={guest || (scale.length === 1 && scale.includes(note))}
                label={t.inScale(t.noteNames[note] ?? '')}
                onToggle={(on) => {
                  wish(CLASSES.filter((one) => (one === note ? on : scale.includes(one))));
                }}
              >
                {t.noteNames[note]}
              </Toggle>
            ))}
          </div>
        </fieldset>
      ) : null}
      {scale === null ? null : <Help>{t.scaleHelp}</Help>}
    </div>
  );
}
