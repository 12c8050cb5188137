import { useSignal, useSignalEffect } from '@preact/signals';
import { useEffect, useMemo, useRef } from 'preact/hooks';
import type { Connection } from '../connection.js';
import { Help } from '../parts/help.js';
import { linkTo } from '../route.js';
import { openSpeaker } from '../sound/speaker.js';
import { texts } from '../texts/texts.js';
import { Choices } from './choices.js';
import { openDesk, type DeskThread } from './desk-line.js';
import { explainingOf } from './explaining.js';
import { lookingAt } from './looking.js';
import { takeModel } from './model.js';
import { FileButton } from './parts/file-button.js';
import { ProgressLine } from './parts/progress-line.js';
import { FaultBox, Notes } from './parts/said.js';
import { playbackOn } from './playback.js';
import { Shown } from './shown.js';
import { TakesList } from './takes-list.js';

interface TakeViewProps {
  readonly connection: Connection;
  /** null: the list of all takes. */
  readonly name: string | null;
}

/** Takes: a list of them, or one with what two rule sets make of it, and why. */
export function TakeView({ connection, name }: TakeViewProps) {
  const t = texts.value.take;
  const own = useSignal<File | null>(null);
  useEffect(() => {
    own.value = null;
  }, [name]);
  const file = own.value;
  const title = file?.name ?? name;
  return (
    <article class="take stack">
      <div class="take-head">
        <h2>{title ?? t.list.heading}</h2>
        <div class="row">
          {title === null ? null : (
            <a
              class="button"
              href={linkTo({ view: 'takes' })}
              onClick={() => {
                own.value = null;
              }}
            >
              {t.list.back}
            </a>
          )}
          <FileButton
            words={t.device.open}
            accept=".jsonl,.json,.gz"
            onFile={(chosen) => {
              own.value = chosen;
            }}
          />
        </div>
        <Help>{t.device.help}</Help>
      </div>
      {title === null ? (
        <TakesList connection={connection} />
      ) : (
        <OneTake
          key={file ? `${file.name} ${String(file.lastModified)} ${String(file.size)}` : title}
          connection={connection}
          given={file ?? title}
        />
      )}
    </article>
  );
}

interface OneTakeProps {
  readonly connection: Connection;
  /** A file of this device, or the name of one that the service has. */
  readonly given: File | string;
}

function OneTake({ connection, given }: OneTakeProps) {
  const parts = useMemo(() => {
    const worker = new Worker(new URL('take/worker.js', document.baseURI), { type: 'module' });
    const desk = openDesk(worker as unknown as DeskThread, document.baseURI);
    const model = takeModel(connection, desk);
    return {
      model,
      looking: lookingAt(model),
      explaining: explainingOf(connection, model, desk),
      playback: playbackOn(connection, openSpeaker),
    };
  }, []);
  const { model, looking, explaining, playback } = parts;
  useEffect(() => {
    void model.open(given);
    return () => {
      playback.end();
      model.end();
    };
  }, []);
  const seen = useRef(model.result.peek());
  useSignalEffect(() => {
    const now = model.result.value;
    if (now === seen.current) return;
    seen.current = now;
    // What was said of other rules does not hold of these.
    playback.stop();
    explaining.close();
    looking.current.value = 0;
    looking.told.value = '';
  });

  const name = typeof given === 'string' ? given : given.name;
  const { openFault, fault, opened, busy, result } = model;
  return (
    <>
      {openFault.value ? <FaultBox fault={openFault.value} take={name} /> : null}
      {opened.value ? <Notes notes={opened.value.notes} /> : null}
      <Choices connection={connection} model={model} />
      <ProgressLine busy={busy.value} />
      {fault.value ? <FaultBox fault={fault.value} take={name} /> : null}
      {result.value ? <Shown {...parts} result={result.value} name={name} /> : null}
    </>
  );
}
