// The module that the site's build makes of fieldsheet/exchange/planfields.json.
/** How a field of a plan's code is written: the name of a sort, a sort made of others, or the fields of an object. */
export type Sort = string | number | boolean | null | Sort[] | { [key: string]: Sort };
export const FIELDS: {
  signs: string[];
  scales: number[];
  marks: { f: string; shutter: string; iso: string; open_ms: number[] };
  types: Record<string, Sort>;
  brief: Record<string, Sort>;
};
