// Starts the documentation: the package's renderer over this service's own document. It asks no other
// host for anything, and a call tried out goes to this service.

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
});
