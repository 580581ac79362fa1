// twin: fieldsheet/plan/planned.py
// The shape of a warning.

/**
 * A warning of a level ("no-go" or "mind"), by the id of its words and their arguments.
 * @param {"no-go" | "mind"} level @param {string} id @param {Args} args @returns {Warning}
 */
export function caution(level, id, args) {
  return { level, id: `warning.${id}`, args };
}
