/** A plan that begins at night: offers to make the scald the evening before and to chill it. */

import { stage as newTask } from "../state/work.js";
import { h } from "../ui/dom.js";

const EVENING = 20;             // o'clock
const [NIGHT_FROM, NIGHT_TO] = [22, 5];
const COLD_C = 4;

/** The timetable, folded under the offer when its scald is made at night. @param {Bench} bench
@param {Replies["loaf-plan"]["timetable"]} rows @param {HTMLElement} table @param {(moment: string) => string} clock @returns {Child} */
export function timesOf(bench, [first], table, clock) {
  const { t, state } = bench;
  const { before, holding_hours: kept } = state.plan;
  const start = first.starts_at === null ? null : new Date(first.starts_at);
  const isNight = start && (start.getHours() >= NIGHT_FROM || start.getHours() < NIGHT_TO);
  if (!start || !isNight || before.length < 2 || (kept !== null && kept !== "")) return table;
  const earlier = ((start.getHours() - EVENING + 24) % 24) * 60 + start.getMinutes();
  return [
    h("p", { class: "verdict" }, t("plan.night", { step: first.name, time: clock(first.starts_at ?? "") })),
    h("div", { class: "buttons" }, h("button", { type: "button", class: "nearest", on: { click() {
      bench.change(({ plan }) => {
        plan.before.splice(1, 0, newTask(t("plan.chill"), earlier));
        plan.before[2].name = t("plan.warmUp");
        plan.holding_hours = Number((earlier / 60).toFixed(1));
        plan.holding_temperature = COLD_C;
      });
      bench.redraw();
    } } }, t("plan.evening"))),
    h("details", { class: "folded" }, h("summary", {}, t("plan.asItIs")), table),
  ];
}
