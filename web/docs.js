// Starts the documentation: the package's renderer over this service's own document.
// No badge is asked of another host, and calls tried out go to this service only.

SwaggerUIBundle({
  url: "openapi.json",
  dom_id: "#calls",
  presets: [SwaggerUIBundle.presets.apis],
  layout: "BaseLayout",
  validatorUrl: null,
  deepLinking: true,
  docExpansion: "list",
  defaultModelsExpandDepth: 0,
  defaultModelExpandDepth: 3,
  tryItOutEnabled: true,
  requestSnippetsEnabled: false,
  syntaxHighlight: { activated: true, theme: "idea" },
});
