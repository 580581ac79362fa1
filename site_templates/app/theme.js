// Sets the theme before anything is painted: a plain script in the head, not a module, because modules run late.
// A button with data-set-theme="day" | "dark" | "night" chooses; the choice is kept for this site.
(() => {
  const page = document.documentElement;
  /** @type {Record<string, string>} */
  const bars = { day: "#ffffff", dark: "#000000", night: "#000000" };
  const { pathname } = new URL(page.dataset.root ?? "./", location.href);
  const key = `fieldsheet|${pathname}|${page.dataset.catalog}|theme`;

  /** A file's own tab (pocket/tab.js) remembers where reading is forbidden, or a browser lost what it was given. */
  const remembered = () => stored() ?? history.state?.tab?.theme;
  const stored = () => {
    try {
      return localStorage.getItem(key);
    } catch {
      return null;
    }
  };
  const remember = (/** @type {string} */ theme) => {
    try {
      localStorage.setItem(key, theme);
    } catch {
      // Not remembered; the theme still changes for this page.
    }
  };
  const apply = (/** @type {string | null | undefined} */ choice) => {
    const preferred = matchMedia("(prefers-color-scheme: dark)").matches ? "dark" : "day";
    const theme = choice && Object.hasOwn(bars, choice) ? choice : preferred;
    page.dataset.theme = theme;
    // The paper at once: styles arrive later, and until then a browser shows white.
    page.style.background = bars[theme];
    page.style.colorScheme = theme === "day" ? "light" : "dark";
    document.querySelector('meta[name="theme-color"]')?.setAttribute("content", bars[theme]);
    for (const button of /** @type {NodeListOf<HTMLElement>} */ (document.querySelectorAll("[data-set-theme]"))) {
      button.setAttribute("aria-pressed", String(button.dataset.setTheme === theme));
    }
  };

  apply(remembered());
  document.addEventListener("DOMContentLoaded", () => apply(remembered() ?? page.dataset.theme));
  addEventListener("storage", (event) => event.key === key && apply(event.newValue));
  document.addEventListener("click", (event) => {
    const target = /** @type {Element} */ (event.target);
    const choice = /** @type {HTMLElement | null} */ (target.closest("[data-set-theme]"))?.dataset.setTheme;
    if (choice === undefined) return;
    remember(choice);
    apply(choice);
  });
})();
