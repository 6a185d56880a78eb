// Starts the documentation: the renderer of the package shows the document of this service. It calls no other host.

const dark = matchMedia("(prefers-color-scheme: dark)");
const follow = () => document.documentElement.classList.toggle("dark-mode", dark.matches);
dark.addEventListener("change", follow);
follow();

SwaggerUIBundle({
  url: "openapi.json",
  dom_id: "#calls",
  presets: [SwaggerUIBundle.presets.apis],
  layout: "BaseLayout",
  validatorUrl: null,
  deepLinking: true,
  docExpansion: "list",
  tryItOutEnabled: true,
  displayRequestDuration: true,
  defaultModelsExpandDepth: 0,
  defaultModelExpandDepth: 3,
  syntaxHighlight: { activated: false },
});

// The renderer leaves some fields without a name and some texts out of reach of the keyboard.
const NAMES = { "textarea": "Request body", ".examples-select-element": "Example", ".parameters-col_description select": "Value" };
new MutationObserver(() => {
  for (const [fields, name] of Object.entries(NAMES)) {
    document.querySelectorAll(`${fields}:not([aria-label])`).forEach((field) => field.setAttribute("aria-label", name));
  }
  document.querySelectorAll(":is(.microlight, .curl):not([tabindex])").forEach((text) => text.setAttribute("tabindex", "0"));
}).observe(document.body, { childList: true, subtree: true });
