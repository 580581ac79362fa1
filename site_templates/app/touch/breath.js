// Work that is long for a thumb is done in pieces.

/** Between two pieces the page answers what has happened meanwhile. By no timer: browsers hold those back out of sight.
 *  @returns {Promise<unknown>} */
export function breath() {
  const { port1, port2 } = new MessageChannel();
  const over = new Promise((resolve) => {
    port1.onmessage = resolve;
  });
  port2.postMessage("");
  return over.then(() => port1.close());
}
