import { Choice } from '../parts/choice.js';
import { More } from '../parts/help.js';
import { scheme, type Scheme } from '../style/scheme.js';
import { chooseLanguage, language, LANGUAGES, texts, type Language } from '../texts/texts.js';

const SCHEMES: readonly Scheme[] = ['auto', 'light', 'dark'];

/** How this page is shown on this device. */
export function Settings() {
  const t = texts.value.shell;
  return (
    <More summary={t.settings}>
      <div class="row settings">
        <Choice
          label={t.language}
          value={language.value}
          options={Object.entries(LANGUAGES).map(([value, { name }]) => ({ value, words: name }))}
          onChoose={(code) => {
            chooseLanguage(code as Language);
          }}
        />
        <Choice
          label={t.scheme}
          value={scheme.value}
          options={SCHEMES.map((value) => ({ value, words: t.schemes[value] }))}
          onChoose={(one) => {
            scheme.value = one as Scheme;
          }}
        />
      </div>
    </More>
  );
}
