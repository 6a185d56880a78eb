/** A plan as a link: the fragment of the address holds the work, and no browser sends it to a server. */

const NAME = "plan";
const TEXT_LIMIT = 200_000;     // no honest plan comes near this many characters

/** The bytes put through a stream. Fails past so many, before they fill the memory: a small text can unpack to a huge one.
@param {BlobPart} bytes @param {CompressionStream | DecompressionStream} stream */
async function through(bytes, stream, most = Infinity) {
  /** @type {BlobPart[]} */
  const parts = [];
  let size = 0;
  for (const reader = new Blob([bytes]).stream().pipeThrough(stream).getReader(); ;) {
    const { done, value } = await reader.read();
    if (done) return new Uint8Array(await new Blob(parts).arrayBuffer());
    size += value.length;
    if (size > most) {
      await reader.cancel();
      throw new RangeError("too long");
    }
    parts.push(value);
  }
}

/** @param {Uint8Array} bytes */
function toText(bytes) {
  let binary = "";
  for (const byte of bytes) binary += String.fromCharCode(byte);
  return btoa(binary).replace(/\+/g, "-").replace(/\//g, "_").replace(/=+$/, "");
}

/** @param {string} text */
function toBytes(text) {
  return Uint8Array.from(atob(text.replace(/-/g, "+").replace(/_/g, "/")), (letter) => letter.charCodeAt(0));
}

/** The fragment for a work, with short keys in place of those of its rows. @param {object} work */
export async function linkOf(work) {
  let rows = 0;
  const text = JSON.stringify(work, (name, value) => (name === "key" ? String(rows += 1) : value));
  const bytes = new TextEncoder().encode(text);
  return `#${NAME}=${toText(await through(bytes, new CompressionStream("deflate-raw")))}`;
}

/** The text of the work in a fragment; null when there is none, undefined when it can't be read. @param {string} fragment */
export async function planTextOf(fragment) {
  const text = new URLSearchParams(fragment.slice(1)).get(NAME);
  if (text === null) return null;
  try {
    if (text.length > TEXT_LIMIT) return undefined;
    const bytes = await through(toBytes(text), new DecompressionStream("deflate-raw"), TEXT_LIMIT * 10);
    return new TextDecoder("utf-8", { fatal: true }).decode(bytes);
  } catch {
    return undefined;
  }
}
