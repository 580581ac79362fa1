// twin: fieldsheet/plan/planned.py
// The shape of a warning.

/** A warning of a level ("no-go" or "mind"), by the id of its words and their arguments. */
export function caution(level, id, args) {
  return { level, id: `warning.${id}`, args };
}
