import { LOGIC, RULE_GROUPS, RULE_LIST, type Words } from '../../../instrument/rule-table.js';

type ByKey = Readonly<Record<string, string>>;

/** What a form says of the rules in one language: of their groups, and of each. */
export function ruleWords(language: keyof Words): {
  readonly groups: ByKey;
  readonly groupAbout: ByKey;
  readonly labels: ByKey;
  readonly about: ByKey;
} {
  const ofGroups = (what: 'title' | 'about'): ByKey =>
    Object.fromEntries(RULE_GROUPS.map(([name, group]) => [name, group[what][language]]));
  const ofRules = (what: 'label' | 'about'): ByKey => ({
    logic: LOGIC[what][language],
    ...Object.fromEntries(RULE_LIST.map(({ key, rule }) => [key, rule[what][language]])),
  });
  return {
    groups: ofGroups('title'),
    groupAbout: ofGroups('about'),
    labels: ofRules('label'),
    about: ofRules('about'),
  };
}
