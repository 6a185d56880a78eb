/** Makes the frame as tall as the panel in it. */

const frame = /** @type {HTMLIFrameElement} */ (document.querySelector("iframe"));

addEventListener("message", ({ source, data }) => {
  if (source === frame.contentWindow && data?.type === "scaldloaf-height") frame.style.height = `${data.height}px`;
});
