import { useSignal } from '@preact/signals';
import type { Connection } from '../../connection.js';
import { Help } from '../../parts/help.js';
import { texts } from '../../texts/texts.js';
import type { PageSeat } from '../../../link/state.js';
import { Refused, useAsking } from '../asking.js';
import { draftFault, drafted, stillDrafted, type Drafts } from './drafts.js';
import { faultPlace } from './fault-place.js';
import { faultWords } from './fault-words.js';
import { ruleGroups } from './rule-groups.js';
import { inputId, RuleRow, type RuleStanding } from './rule-row.js';
import { RulesActions } from './rules-actions.js';
import { RulesChoice } from './rules-choice.js';

interface RulesSectionProps {
  readonly connection: Connection;
  readonly seat: number;
  readonly of: PageSeat;
}

/** The seat's rules as controls, to be tried while somebody plays and kept under a name. */
export function RulesSection({ connection, seat, of }: RulesSectionProps) {
  const words = texts.value.seat.rules;
  const asking = useAsking(connection);
  // What was tried is at fault at its control; all else is told of below.
  const trying = useAsking(connection);
  const held = useSignal<Drafts>({});
  const room = connection.state.room.value;
  const guest = connection.guest.value;
  const { rules } = of;
  const drafts = stillDrafted(held.value, rules);
  const changed = Object.keys(drafts);
  const groups = ruleGroups(room?.controls ?? [], of.instrument.kind);
  const controls = groups.flatMap((group) => group.controls);
  const keys = controls.map(({ key }) => key);
  const refused = trying.refused.value;
  const at = refused === null ? null : faultPlace(refused, keys, changed);

  const standingOf = (control: (typeof controls)[number]): RuleStanding => {
    const { key } = control;
    const draft = drafts[key];
    const own = draft === undefined ? null : draftFault(control, draft);
    const fault = own
      ? { words: faultWords(own, words.faults), own: true }
      : at === key && refused !== null
        ? { words: refused, own: false }
        : null;
    const tried = rules.tried.includes(key);
    return {
      value: draft ?? rules.values[key] ?? '',
      changed: draft !== undefined,
      tried,
      fault,
    };
  };

  /** Plays by what was changed; true where that is so now. */
  const attempt = async (): Promise<boolean> => {
    const wrong = controls.find((one) => {
      const draft = drafts[one.key];
      return draft !== undefined && draftFault(one, draft) !== null;
    });
    if (wrong) {
      document.getElementById(inputId(wrong.key))?.focus();
      return false;
    }
    const why = await trying.ask({ ask: 'try', seat, values: drafts });
    if (why === null) {
      // What was changed while the answer was on its way stays a draft.
      held.value = Object.fromEntries(
        Object.entries(held.peek()).filter(([key, value]) => drafts[key] !== value),
      );
      return true;
    }
    const place = faultPlace(why, keys, changed);
    if (place !== null) document.getElementById(inputId(place))?.focus();
    return false;
  };

  return (
    <section class="sheet stack" aria-labelledby="seat-rules">
      <h3 id="seat-rules" tabIndex={-1}>
        {words.heading}
      </h3>
      <Help>{words.help}</Help>
      <RulesChoice {...{ connection, asking, seat, rules }} names={room?.rulesNames ?? []} />
      <form
        class="stack"
        noValidate
        onSubmit={(event) => {
          event.preventDefault();
          if (changed.length > 0) void attempt();
        }}
      >
        {groups.map((group) => (
          <fieldset key={group.name} class="seat-group">
            <legend>
              <span class="seat-group-name">{words.groups[group.name] ?? group.name}</span>{' '}
              <span class="soft">{words.groupAbout[group.name]}</span>
            </legend>
            <div class="seat-rules">
              {group.controls.map((control) => (
                <RuleRow
                  key={control.key}
                  control={control}
                  standing={standingOf(control)}
                  onChange={
                    guest
                      ? null
                      : (value) => {
                          trying.refused.value = null;
                          held.value = drafted(held.value, rules, control.key, value);
                        }
                  }
                />
              ))}
            </div>
          </fieldset>
        ))}
        {at === null ? <Refused asking={trying} /> : null}
        <Refused asking={asking} />
        {refused === null && rules.fault !== null && changed.length === 0 ? (
          <p class="seat-fault">
            {words.refusedBefore} <span lang="en">{rules.fault}</span>
          </p>
        ) : null}
        {guest ? (
          <p class="soft">{words.guest}</p>
        ) : (
          <RulesActions
            {...{ asking, seat, rules, attempt }}
            name={of.name}
            names={room?.rulesNames ?? []}
            changes={changed.length}
            onBack={() => {
              held.value = {};
              trying.refused.value = null;
            }}
          />
        )}
      </form>
    </section>
  );
}
