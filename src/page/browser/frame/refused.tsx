import { Button } from '../parts/button.js';
import { refused } from '../parts/ask.js';
import { Status } from '../parts/status.js';
import { texts } from '../texts/texts.js';

/** Why the last wish was not granted; it is read out where it is made. */
export function Refused() {
  const why = refused.value;
  const t = texts.value;
  if (why === null) return null;
  return (
    <div class="refused row">
      <Status standing="warn">
        {t.room.refused}: <span lang="en">{why}</span>
      </Status>
      <Button
        onPress={() => {
          refused.value = null;
        }}
      >
        {t.shell.close}
      </Button>
    </div>
  );
}
