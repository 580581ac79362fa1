// The module that the site's build makes of fieldsheet/sheet/words.json.
export const WORDS: Record<string, string>;
