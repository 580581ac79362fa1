// twin: fieldsheet/plan/problem.py

/** The brief is well formed, but this night gives no plan: a message id, its arguments, the catalog key at fault. */
export class PlanProblem extends Error {
  /**
   * @param {string} id
   * @param {Record<string, unknown>} args
   * @param {string} key
   */
  constructor(id, args, key) {
    super(id);
    this.id = id;
    this.args = args;
    this.key = key;
  }
}
