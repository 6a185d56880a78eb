/** The two systems a baker can switch between. The state is kept in the service's own units. */

import { tidy } from "./numbers.js";

export const SYSTEMS = {
  metric: { mass: "g", length: "cm", volume: "cm3", temperature: "degC" },
  us: { mass: "oz", length: "in", volume: "in3", temperature: "degF" },
};

const DIFFERENCE = "temperature_difference";     // of two temperatures: it has a size but no zero

/** Conversions for one system, by the table of GET /v1/units. */
export function unitsOf(system, table) {
  const wire = SYSTEMS[system];
  const row = (quantity) => table[quantity].find((unit) => unit.unit === wire[quantity]);
  return {
    wire,
    unit: (quantity) => wire[quantity === DIFFERENCE ? "temperature" : quantity],
    /** A number of the chosen unit in the state's. */
    inward(value, quantity) {
      if (quantity === DIFFERENCE) return value * row("temperature").factor;
      if (!(quantity in wire)) return value;
      const { factor, zero } = row(quantity);
      return (value - zero) * factor;
    },
    /** A number of the state in the chosen unit. */
    outward(value, quantity) {
      if (quantity === DIFFERENCE) return tidy(value / row("temperature").factor);
      if (!(quantity in wire)) return value;
      const { factor, zero } = row(quantity);
      return tidy(value / factor + zero);
    },
  };
}
