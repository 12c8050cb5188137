import { readFile } from 'node:fs/promises';

/** Pages that `help TOPIC` prints, by their topics. */
export const TOPICS: Readonly<Record<string, string>> = {
  class: 'docs/class.md',
  page: 'docs/page.md',
  loudness: 'docs/loudness.md',
  rules: 'docs/rules.md',
  'own-logic': 'docs/own-logic.md',
  files: 'docs/files.md',
  board: 'config/board/README.md',
};

/** The page of a topic, as it is written; undefined where there is no such topic. */
export async function topicPage(topic: string): Promise<string | undefined> {
  const file = Object.hasOwn(TOPICS, topic) ? TOPICS[topic] : undefined;
  if (file === undefined) return undefined;
  return readFile(new URL(`../../${file}`, import.meta.url), 'utf8');
}
