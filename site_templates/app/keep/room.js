// What the browser says of keeping: how much room there is, and whether it may clear it.

const LENT =
  "The browser has not promised to keep it: short of room, or after weeks unused, it may clear pages and takes. Open them from the home screen, and save each take as a file.";

/** In plain words, "" where it says nothing. @returns {Promise<string>} */
export async function roomText() {
  const manager = navigator.storage;
  const { usage = 0, quota = 0 } = (await manager?.estimate?.().catch(() => null)) ?? {};
  const is_kept = await manager?.persisted?.().catch(() => undefined);
  const room = quota > 0 ? `This site takes ${size(usage)} here of about ${size(quota)} that the browser gives. ` : "";
  if (is_kept === undefined) return room.trimEnd();
  return `${room}${is_kept ? "The browser has promised to keep it." : LENT}`;
}

/** Such as 84 KB, 1.2 MB, 60 GB. @param {number} bytes */
export function size(bytes) {
  const [unit, name] = bytes < 1e6 ? [1e3, "KB"] : bytes < 1e9 ? [1e6, "MB"] : [1e9, "GB"];
  const amount = bytes / unit;
  return `${amount < 10 && unit > 1e3 ? Math.round(amount * 10) / 10 : Math.round(amount)} ${name}`;
}
