interface FileButtonProps {
  readonly words: string;
  readonly accept: string;
  readonly onFile: (file: File) => void;
}

/** Lets a person choose a file of this device. The browser's own control, so that keys and readers know it. */
export function FileButton({ words, accept, onFile }: FileButtonProps) {
  return (
    <label class="button take-file">
      <input
        type="file"
        class="unseen"
        accept={accept}
        onChange={(event) => {
          const [file] = event.currentTarget.files ?? [];
          if (file) onFile(file);
          // The same file again, after it was fixed, is a change too.
          event.currentTarget.value = '';
        }}
      />
      {words}
    </label>
  );
}
