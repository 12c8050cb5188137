import { useEffect, useId, useMemo } from 'preact/hooks';
import type { Connection } from '../connection.js';
import { Button } from '../parts/button.js';
import { Help, More } from '../parts/help.js';
import { Slider } from '../parts/slider.js';
import { Status, type Standing } from '../parts/status.js';
import { texts } from '../texts/texts.js';
import type { Speaker } from './contract.js';
import { LoudnessHere } from './loudness-here.js';
import { decibels, decibelWords } from './loudness-view.js';
import { SoundHere } from './sound-here.js';

interface SpeakerPanelProps {
  readonly connection: Connection;
}

/** This device as the room's loudspeaker. Guests may listen too. */
export function SpeakerPanel({ connection }: SpeakerPanelProps) {
  const t = texts.value.sound;
  const heading = useId();
  const here = useMemo(() => new SoundHere(connection), [connection]);
  useEffect(() => () => void here.turnOff(), [here]);
  const speaker = here.speaker.value;
  const fault = here.fault.value;
  return (
    <section class="sheet stack" aria-labelledby={heading}>
      <h2 id={heading}>{t.heading}</h2>
      <Help>{speaker ? t.stay : t.about}</Help>
      {!speaker && <p>{t.caution}</p>}
      <div class="row">
        <Button
          look={speaker ? 'plain' : 'strong'}
          disabled={here.opening.value}
          onPress={() => void (speaker ? here.turnOff() : here.turnOn())}
        >
          {speaker ? t.turnOff : t.turnOn}
        </Button>
        {speaker?.state.value === 'held' && (
          <Button look="strong" onPress={() => void speaker.resume()}>
            {t.resume}
          </Button>
        )}
      </div>
      <p role="status">
        <Standing here={here} connection={connection} />
      </p>
      {fault !== null && (
        <p role="alert">
          <Status standing="bad">{t.notHere(fault)}</Status>
        </p>
      )}
      {speaker && here.others.value.length > 0 && (
        <p>
          <Status standing="warn">{t.doubled(here.others.value.join(', '))}</Status>
        </p>
      )}
      {speaker && <Controls here={here} speaker={speaker} />}
      <More summary={t.ears}>
        <div class="stack">
          {t.earsText.map((text) => (
            <p key={text}>{text}</p>
          ))}
        </div>
      </More>
    </section>
  );
}

function Standing({ here, connection }: { here: SoundHere; connection: Connection }) {
  const t = texts.value.sound;
  if (here.opening.value) return <Status standing="plain">{t.opening}</Status>;
  const speaker = here.speaker.value;
  const state = speaker ? speaker.state.value : 'off';
  const refused = speaker?.refused.value ?? null;
  const waiting = state === 'on' && connection.link.value !== 'open';
  if (refused !== null && !waiting) return <Status standing="bad">{t.refused(refused)}</Status>;
  return (
    <Status standing={waiting ? 'warn' : STANDING[state]}>
      {t.states[waiting ? 'waiting' : state]}
    </Status>
  );
}

const STANDING: Readonly<Record<Speaker['state']['value'] | 'off', Standing>> = {
  off: 'plain',
  closed: 'plain',
  on: 'good',
  held: 'warn',
  hidden: 'plain',
  failed: 'bad',
} as const;

function Controls({ here, speaker }: { here: SoundHere; speaker: Speaker }) {
  const t = texts.value.sound;
  return (
    <>
      <Slider
        label={t.level}
        value={here.level.value}
        least={0}
        most={1}
        step={0.05}
        words={(level) => t.levelWords(Math.round(100 * level), decibelWords(decibels(level)))}
        onMove={(level) => {
          here.setLevel(level);
          return Promise.resolve();
        }}
      />
      <LoudnessHere here={here} speaker={speaker} />
      <p class="help">
        {t.delay(speaker.delay.value)} {speaker.gaps.value > 0 && t.gaps(speaker.gaps.value)}
      </p>
    </>
  );
}
