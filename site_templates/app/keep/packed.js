// Scripts as the store keeps them: gzipped, a third of their bytes, where the browser can (since 2023). They are
// unpacked whole before they are answered with: one that is damaged is missing, never cut short.

const HOW = "fieldsheet-packed";

/** The answer as it is to be kept. @param {string} path @param {Response} answer */
export async function packed(path, answer) {
  if (!path.endsWith(".js") || !("DecompressionStream" in self)) return answer;
  return through(answer, new CompressionStream("gzip"), { [HOW]: "gzip" });
}

/** What was kept as it came; rejects where it is damaged. @param {Response | undefined} kept */
export async function unpacked(kept) {
  const how = kept?.headers.get(HOW);
  return kept && how ? through(kept, new DecompressionStream(/** @type {"gzip"} */ (how)), {}) : kept;
}

/** @param {Response} answer @param {GenericTransformStream} turned @param {Record<string, string>} marks */
async function through(answer, turned, marks) {
  const bytes = await new Response(answer.body?.pipeThrough(turned)).arrayBuffer();
  const type = answer.headers.get("content-type") ?? "";
  return new Response(bytes, {
    headers: { "content-type": type, "content-length": String(bytes.byteLength), ...marks },
  });
}
