import { Status } from '../../parts/status.js';
import { texts } from '../../texts/texts.js';
import type { RuleControl } from '../../../link/state.js';
import { RuleInput, valueWords } from './rule-input.js';

/** What there is to be said of one value. */
export interface RuleStanding {
  readonly value: string;
  /** Changed on this page, and not tried yet. */
  readonly changed: boolean;
  /** Tried, and not kept yet. */
  readonly tried: boolean;
  /** What is wrong with it. `own`: in the page's words, not the service's. */
  readonly fault: { readonly words: string; readonly own: boolean } | null;
}

interface RuleRowProps {
  readonly control: RuleControl;
  readonly standing: RuleStanding;
  /** null: it is only looked at. */
  readonly onChange: ((value: string) => void) | null;
}

/** The id of a rule's input, to lay the focus on it. */
export function inputId(key: string): string {
  return `rule-${key.replaceAll('.', '-')}`;
}

/** One rule: what it is, what it is set to, and in one sentence what the player notices. */
export function RuleRow({ control, standing, onChange }: RuleRowProps) {
  const words = texts.value.seat.rules;
  const { key, takes } = control;
  const { value, changed, tried, fault } = standing;
  const id = inputId(key);
  const about = words.about[key];
  const label = words.labels[key] ?? key;
  const described = [`${id}-about`, `${id}-mark`, fault ? `${id}-fault` : ''].join(' ').trim();
  return (
    <div class={`field seat-rule${changed || tried ? ' seat-rule-changed' : ''}`}>
      <div class="field-head">
        {onChange ? <label for={id}>{label}</label> : <span id={id}>{label}</span>}
        <code class="soft">{key}</code>
      </div>
      {onChange ? (
        <RuleInput {...{ id, label, takes, value, described, onChange }} invalid={fault !== null} />
      ) : (
        <output aria-labelledby={id} class="seat-value">
          {valueWords(value)}
        </output>
      )}
      <span id={`${id}-mark`}>
        {changed ? <Status standing="warn">{words.changed}</Status> : null}
        {!changed && tried ? <Status standing="plain">{words.tried}</Status> : null}
      </span>
      {fault ? (
        <p class="seat-fault" id={`${id}-fault`} lang={fault.own ? undefined : 'en'}>
          {fault.words}
        </p>
      ) : null}
      <p class="help" id={`${id}-about`} lang={about === undefined ? 'en' : undefined}>
        {about ?? control.about.replace(/`([^`]*)`/g, '“$1”')}
      </p>
    </div>
  );
}
