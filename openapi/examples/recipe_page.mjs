// A recipe page whose reader moves the scalded share: the page's own schema.org Recipe goes to
// recipe-import, and the formula that comes back goes to hydration-correction as it is.
//
// What the service was not sure of is shown beside the result, never hidden. No library, no build step.

const ATTEMPTS = 4;
const LONGEST_WAIT_S = 30;

/** A refusal, with the problem (RFC 9457) that says why. */
export class Refused extends Error {
  constructor(problem) {
    super(problem.detail);
    this.problem = problem;
  }
}

/** The reply to a call. Every call may be repeated, so a busy service is asked again when it says. */
export async function ask(service, call, body) {
  for (let attempt = 1; ; attempt += 1) {
    const answer = await fetch(`${service}/v1/${call}?show=result`, {
      method: "POST",
      headers: { "Content-Type": "application/json" },
      body: JSON.stringify(body),
    });
    if (answer.ok) return answer.json();
    if ((answer.status !== 429 && answer.status !== 503) || attempt === ATTEMPTS) throw new Refused(await answer.json());
    const wait = Number(answer.headers.get("Retry-After")) || 2 ** attempt;
    await new Promise((resolve) => setTimeout(resolve, 1000 * Math.min(wait, LONGEST_WAIT_S)));
  }
}

/** The recipe at another scalded share, and the lines that were read with a doubt. */
export async function rewritten(service, recipe, share) {
  const read = await ask(service, "recipe-import", { recipe });
  const doubts = read.lines.filter((line) => line.kind === "ingredient" && line.sure !== "sure");
  if (read.formula === null) return { read, doubts, moved: null };
  const moved = await ask(service, "hydration-correction", { formula: read.formula, scalded_share_percent: share });
  return { read, doubts, moved };
}

/** A refusal in the words of a reader, with the share that would work when the share is at fault. */
export function inWords({ problem }) {
  const [error] = problem.errors;
  if (error?.pointer !== "/scalded_share_percent" || error.nearest === null) return `That can't be done: ${problem.detail}`;
  return `That can't be done: ${error.detail}. The nearest share that works is ${error.nearest} %.`;
}

function item(text) {
  const line = document.createElement("li");
  line.textContent = text;
  return line;
}

function show(page, { doubts, moved }) {
  page.doubts.replaceChildren(...doubts.map((line) => item(
    line.in_formula ? `“${line.text}” was read as ${line.read_as}: ${line.why}` : `“${line.text}” was not read: ${line.why}`)));
  page.lines.hidden = moved === null;
  page.cautions.replaceChildren(...(moved?.cautions ?? []).map((caution) => item(caution.text)));
  if (moved === null) {
    page.said.textContent = "No flour was found in this recipe.";
    return;
  }
  page.lines.tBodies[0].replaceChildren(...moved.formula.lines.map((line) => {
    const row = document.createElement("tr");
    for (const text of [line.part, line.ingredient.replaceAll("_", " "), line.mass.toFixed(line.mass < 20 ? 1 : 0)]) {
      row.insertCell().textContent = text;
    }
    return row;
  }));
  const { best, low, high } = moved.optimum_hydration_percent;
  page.said.textContent = `${moved.after.scalded_share_percent.toFixed(1)} % scalded, water ${best.toFixed(1)} % of the flour `
    + `(likely ${low.toFixed(1)} to ${high.toFixed(1)} %).`;
}

function start(service, recipe) {
  const page = Object.fromEntries(["scald", "said", "lines", "doubts", "cautions"]
    .map((name) => [name, document.getElementById(name)]));
  let latest = 0;

  async function update() {
    const mine = latest += 1;     // an answer that comes late may not stand over a later one
    page.said.textContent = "Asking …";
    let result;
    try {
      result = await rewritten(service, recipe, page.scald.elements.share.valueAsNumber);
    } catch (error) {
      if (mine === latest) {
        page.lines.hidden = true;
        page.said.textContent = error instanceof Refused ? inWords(error) : "The service can't be reached just now.";
      }
      return;
    }
    if (mine === latest) show(page, result);
  }

  page.scald.addEventListener("submit", (event) => {
    event.preventDefault();
    update();
  });
  update();
}

const script = globalThis.document?.querySelector("script[data-service]");
if (script) start(script.dataset.service, JSON.parse(document.querySelector('script[type="application/ld+json"]').textContent));
