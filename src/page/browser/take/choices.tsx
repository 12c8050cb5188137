import type { Connection } from '../connection.js';
import { Button } from '../parts/button.js';
import { Choice as Select, type Option, type OptionGroup } from '../parts/choice.js';
import { Help } from '../parts/help.js';
import { texts } from '../texts/texts.js';
import { byOf, fileChoice, PLAYED, triedChoice } from './choosing.js';
import type { TakeModel } from './model.js';
import { FaultBox, Notes } from './parts/said.js';
import { FileButton } from './parts/file-button.js';

interface ChoicesProps {
  readonly connection: Connection;
  readonly model: TakeModel;
}

/** Which seat, which two rule sets, and by which wanted notes. */
export function Choices({ connection, model }: ChoicesProps) {
  const t = texts.value.take.choose;
  const opened = model.opened.value;
  if (!opened) return null;
  const seat = model.seat.value;
  const seats = connection.state.seats.value ?? [];
  const names = connection.state.room.value?.rulesNames ?? [];
  const now = seats.map(({ name, rules }) => ({
    value: triedChoice(name),
    words: t.nowAt(name, rules.name, rules.tried.length),
  }));
  const options: (Option | OptionGroup)[] = [
    { value: PLAYED, words: t.played(opened.seats[seat]?.rules ?? null) },
    ...(now.length > 0 ? [{ group: t.now, options: now }] : []),
    ...(names.length > 0
      ? [
          {
            group: t.files,
            options: names.map((name) => ({ value: fileChoice(name), words: name })),
          },
        ]
      : []),
  ];
  const gone = [model.a.value, model.b.value].some((choice) => !byOf(choice, seats));
  return (
    <section class="stack" aria-label={t.heading}>
      <div class="take-choices">
        {opened.room ? (
          <Select
            label={t.seat}
            value={String(seat)}
            options={opened.seats.map(({ name }, i) => ({
              value: String(i),
              words: name ?? t.noName,
            }))}
            onChoose={(value) => {
              model.choose({ seat: Number(value) });
            }}
          />
        ) : null}
        <Select
          label={t.a}
          value={model.a.value}
          options={options}
          onChoose={(a) => {
            model.choose({ a });
          }}
        />
        <Select
          label={t.b}
          value={model.b.value}
          options={options}
          onChoose={(b) => {
            model.choose({ b });
          }}
        />
      </div>
      {gone ? <p>{t.gone}</p> : null}
      <WantedChoice model={model} />
    </section>
  );
}

function WantedChoice({ model }: { readonly model: TakeModel }) {
  const t = texts.value.take.choose;
  const wanted = model.wanted.value;
  const fault = model.wantedFault.value;
  return (
    <div class="stack">
      <div class="row">
        <FileButton
          words={t.wanted}
          accept=".jsonl,.json,.gz,.txt,.mid,.midi"
          onFile={(file) => {
            void model.judgeBy(file);
          }}
        />
        {wanted ? (
          <>
            <span>{t.wantedIs(wanted.name, wanted.count)}</span>
            <Button
              onPress={() => {
                void model.judgeBy(null);
              }}
            >
              {t.wantedOff}
            </Button>
          </>
        ) : null}
      </div>
      <Help>{t.wantedHelp}</Help>
      {fault ? <FaultBox fault={fault} take={model.opened.value?.name ?? ''} /> : null}
      {wanted ? <Notes notes={wanted.notes} /> : null}
    </div>
  );
}
