/** The schema.org Recipes that a page has as data. */

const SCRIPTS = 'script[type^="application/ld+json" i]';
// Long, of no use to a formula, and some of it written by readers of the page: it never leaves the page.
const LEFT = new Set(["review", "reviews", "comment", "comments", "image", "video", "recipeInstructions", "articleBody"]);

/** The page's structured data that may hold a recipe, and how many pieces could not be read. */
export function recipesOfPage() {
  /** @type {{recipes: unknown[], unreadable: number}} */
  const found = { recipes: [], unreadable: 0 };
  for (const { textContent } of document.querySelectorAll(SCRIPTS)) {
    const text = textContent ?? "";
    if (!/recipe/i.test(text)) continue;
    try {
      found.recipes.push(JSON.parse(text, (name, value) => (LEFT.has(name) ? undefined : value)));
    } catch {
      found.unreadable += 1;
    }
  }
  return found;
}
