// Sets the theme before anything is painted: a plain script in the head, not a module, because modules run late.
// A button with data-set-theme="day" | "dark" | "night" chooses; the choice is kept for this site.
(() => {
  const page = document.documentElement;
  const bars = { day: "#ffffff", dark: "#000000", night: "#000000" };
  const { pathname } = new URL(page.dataset.root ?? "./", location.href);
  const key = `fieldsheet|${pathname}|${page.dataset.catalog}|theme`;

  /** Reading may be forbidden: then the theme is not remembered, but by a file's own tab (pocket/tab.js). */
  const remembered = () => {
    try {
      return localStorage.getItem(key);
    } catch {
      return history.state?.tab?.theme;
    }
  };
  const remember = (theme) => {
    try {
      localStorage.setItem(key, theme);
    } catch {
      // Not remembered; the theme still changes for this page.
    }
  };
  const apply = (choice) => {
    const preferred = matchMedia("(prefers-color-scheme: dark)").matches ? "dark" : "day";
    const theme = Object.hasOwn(bars, choice ?? "") ? choice : preferred;
    page.dataset.theme = theme;
    // The paper at once: styles arrive later, and until then a browser shows white.
    page.style.background = bars[theme];
    page.style.colorScheme = theme === "day" ? "light" : "dark";
    document.querySelector('meta[name="theme-color"]')?.setAttribute("content", bars[theme]);
    for (const button of document.querySelectorAll("[data-set-theme]")) {
      button.setAttribute("aria-pressed", String(button.dataset.setTheme === theme));
    }
  };

  apply(remembered());
  document.addEventListener("DOMContentLoaded", () => apply(remembered() ?? page.dataset.theme));
  addEventListener("storage", (event) => event.key === key && apply(event.newValue));
  document.addEventListener("click", (event) => {
    const button = event.target.closest("[data-set-theme]");
    if (!button) return;
    remember(button.dataset.setTheme);
    apply(button.dataset.setTheme);
  });
})();
