"""A page's clock that goes wrong by a given time: of the page alone, the browser's own goes on."""

SHIFTED = """{
  const Real = globalThis.RealDate ?? Date;
  globalThis.RealDate = Real;
  globalThis.Date = class extends Real {
    constructor(...parts) { if (parts.length) super(...parts); else super(Real.now() + SHIFT); }
    static now() { return Real.now() + SHIFT; }
  };
}"""


def shifted(by_ms: int) -> str:
    """What to run before a page's own scripts."""
    return SHIFTED.replace("SHIFT", str(by_ms))
