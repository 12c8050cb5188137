import { dirname, join, resolve } from 'node:path';
import type { BuildFailure, Message, Plugin } from 'esbuild';
import { FileFault, type Problem } from '../../instrument/fault.js';
import { searchPath, shown } from '../files/find.js';
import { CODE_FILE } from './shared.js';

/** A module and all that it imports. */
export interface BuiltLogic {
  /** One script whose value is what the module exports; where each part came from is noted in it. */
  readonly code: string;
  /** The absolute paths of all files in it, for whoever watches them. */
  readonly files: readonly string[];
}

const NAME = 'ownLogic';
const ALLOWED = 'TypeScript or JavaScript without mistakes';

/** A module gets no packages and nothing of Node's. */
const OWN_FILES_ONLY: Plugin = {
  name: 'own files only',
  setup: (builder) => {
    builder.onResolve({ filter: /^[^.]/ }, ({ kind, path }) =>
      kind === 'entry-point'
        ? undefined
        : { errors: [{ text: `"${path}" is no file of your own; import such as "./chords.js"` }] },
    );
  },
};

/**
 * Makes one piece of JavaScript of a module of somebody's own. Types are taken away, not checked.
 *
 * @param path absolute
 * @throws FileFault where it is missing or cannot be read, with line and column
 */
export async function buildLogic(path: string): Promise<BuiltLogic> {
  const found = await searchPath(path, 'own logic');
  if (found.path === null) {
    const { allowed, fix } = found;
    throw new FileFault([
      { file: shown(path), at: null, key: '', found: 'no such file', allowed, fix },
    ]);
  }
  const folder = dirname(path);
  const { build } = await import('esbuild');
  try {
    const { outputFiles, metafile } = await build({
      entryPoints: [path],
      absWorkingDir: folder,
      outfile: join(folder, CODE_FILE),
      bundle: true,
      write: false,
      metafile: true,
      logLevel: 'silent',
      charset: 'utf8',
      format: 'iife',
      globalName: NAME,
      footer: { js: `;${NAME}` },
      target: 'es2022',
      // Other people's settings and packages do not reach in.
      platform: 'neutral',
      tsconfigRaw: {},
      plugins: [OWN_FILES_ONLY],
      sourcemap: 'inline',
      sourcesContent: false,
    });
    return {
      code: outputFiles[0]?.text ?? '',
      files: Object.keys(metafile.inputs).map((file) => resolve(folder, file)),
    };
  } catch (error) {
    const { errors } = error as Partial<BuildFailure>;
    if (!errors || errors.length === 0) throw error;
    throw new FileFault(errors.map((one) => problemOf(one, path, folder)));
  }
}

function problemOf({ text, location }: Message, path: string, folder: string): Problem {
  return {
    file: shown(location ? resolve(folder, location.file) : path),
    at: location ? { line: location.line, column: location.column + 1 } : null,
    key: '',
    found: `a mistake: ${text.replace(/\.$/, '')}`,
    allowed: ALLOWED,
    fix: 'Fix that line and save the file again',
  };
}
