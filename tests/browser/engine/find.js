// The element with a role and an accessible name that can be seen, open shadow trees included; null: none, or not yet.
(role, name) => {
  const KINDS = {
    button: "button, [role=button]", checkbox: "input[type=checkbox]", combobox: "select, input[list], [role=combobox]",
    dialog: "dialog[open], [role=dialog]", group: "fieldset, [role=group]", heading: "h1, h2, h3", radio: "input[type=radio]",
    slider: "input[type=range]", summary: "summary", textbox: "input[type=text], textarea",
  };
  const words = (text) => (text ?? "").replace(/\s+/g, " ").trim();
  const nameOf = (node) => {
    const by = node.getAttribute("aria-labelledby");
    if (by) return words(by.split(" ").map((id) => node.getRootNode().getElementById(id)?.textContent).join(" "));
    if (node.hasAttribute("aria-label")) return words(node.getAttribute("aria-label"));
    if (node.labels?.length) return words([...node.labels].map((label) => label.textContent).join(" "));
    if (node.matches("fieldset")) return words(node.querySelector("legend")?.textContent);
    return words(node.textContent);
  };
  const trees = (root) => [root, ...[...root.querySelectorAll("*")].flatMap((node) => (node.shadowRoot ? trees(node.shadowRoot) : []))];
  const modal = document.querySelector("dialog:modal");
  const found = trees(document).flatMap((tree) => [...tree.querySelectorAll(KINDS[role])])
    .filter((node) => (!modal || modal.contains(node)) && node.checkVisibility({ visibilityProperty: true }));
  return found.find((node) => nameOf(node) === words(name)) ?? null;
}
