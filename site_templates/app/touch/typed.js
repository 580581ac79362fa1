// What was typed is kept before a button acts on it.

/** Some phones leave the cursor in its field where a button is pressed, and so does a voice: it goes on to the button.
 *  @param {Document} page */
export function keepTyped(page) {
  page.addEventListener(
    "click",
    ({ target }) => {
      const button = /** @type {Element} */ (target).closest("button");
      if (button && page.activeElement instanceof HTMLInputElement) button.focus({ preventScroll: true });
    },
    true,
  );
}
