import * as z from 'zod';
import { LOGIC, RULE_GROUPS, type Rule, type RuleGroup } from './rule-table.js';
import { curve } from './rules-curve.js';
import { duration, durationOrNever, text } from './scalars.js';
import type { Rules } from './types.js';

/** A take carries the module itself, since the file may have changed by the time it is run again. */
const logic = z.union([
  z.null(),
  text
    .meta({ title: 'the path of a TypeScript or JavaScript file' })
    .transform((file) => ({ file, code: null })),
  z.strictObject({
    file: text.describe('What the module is called.'),
    code: text.describe('The module itself, as a recording carries it.'),
  }),
]);

function ruleSchema(rule: Rule): z.ZodType {
  switch (rule.is) {
    case 'flag':
      return z.boolean().default(rule.plain).describe(rule.about.en);
    case 'number':
      return within(z.number(), rule);
    case 'whole':
      return within(z.int(), rule);
    case 'choice':
      return z.enum(rule.of).default(rule.plain).describe(rule.about.en);
    case 'time': {
      const time = (rule.never ? durationOrNever : duration)(rule.least, rule.most);
      return time.prefault(rule.plain).describe(rule.about.en);
    }
    case 'curve':
      return curve.prefault(rule.plain).describe(rule.about.en);
  }
}

const within = (
  schema: z.ZodNumber,
  { least, most, plain, about }: Extract<Rule, { is: 'number' | 'whole' }>,
): z.ZodType => schema.min(least).max(most).default(plain).describe(about.en);

const groupSchema = ({ rules, about }: RuleGroup): z.ZodType =>
  z
    .strictObject(
      Object.fromEntries(Object.entries(rules).map(([name, rule]) => [name, ruleSchema(rule)])),
    )
    .prefault({})
    .describe(about.en);

/** The keys of a rules file. Times are text in the file and microseconds after reading. */
export const rulesKeys = z
  .strictObject({
    name: text.optional().describe("The rule set's name; the file's own where it is left out."),
    logic: logic.default(null).describe(LOGIC.about.en),
    ...Object.fromEntries(RULE_GROUPS.map(([name, group]) => [name, groupSchema(group)])),
  })
  .meta({
    title: 'a rule set',
    description: 'The settings of the playing logic; each is optional.',
    // Built from the table that its type is made of, which zod cannot see.
  }) as unknown as z.ZodType<Omit<Rules, 'name'> & { readonly name?: string | undefined }>;
