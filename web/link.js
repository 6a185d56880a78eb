/** A plan as a link: the work in the address's fragment, which no browser sends to a server. */

const NAME = "plan";
const TEXT_LIMIT = 200_000;     // no honest plan comes near this many characters

async function through(bytes, stream) {
  return new Uint8Array(await new Response(new Blob([bytes]).stream().pipeThrough(stream)).arrayBuffer());
}

function toText(bytes) {
  let binary = "";
  for (const byte of bytes) binary += String.fromCharCode(byte);
  return btoa(binary).replace(/\+/g, "-").replace(/\//g, "_").replace(/=+$/, "");
}

function toBytes(text) {
  return Uint8Array.from(atob(text.replace(/-/g, "+").replace(/_/g, "/")), (letter) => letter.charCodeAt(0));
}

/** The fragment for a work. */
export async function linkOf(work) {
  const bytes = new TextEncoder().encode(JSON.stringify(work));
  return `#${NAME}=${toText(await through(bytes, new CompressionStream("deflate-raw")))}`;
}

/** The work in a fragment; null when there is none, undefined when it can't be read. */
export async function workOf(fragment) {
  const text = new URLSearchParams(fragment.slice(1)).get(NAME);
  if (text === null) return null;
  try {
    if (text.length > TEXT_LIMIT) return undefined;
    const bytes = await through(toBytes(text), new DecompressionStream("deflate-raw"));
    return bytes.length > TEXT_LIMIT * 10 ? undefined : JSON.parse(new TextDecoder().decode(bytes));
  } catch {
    return undefined;
  }
}
