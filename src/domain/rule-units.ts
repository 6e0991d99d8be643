/**
 * A rule's bounds in the unit of whoever reads it: "a number from 0 to 1000" litres is "a number from 0 to 264.17" US
 * gallons. To a hundredth and never wider than the rule: what is told to be allowed is allowed.
 */
export function ruleIn(rule: string, fromOurs: (value: number) => number): string {
  return rule.replace(/\b(from|above|at least|not less than the|to) (-?\d+(?:\.\d+)?)/g, (_, word: string, bound) => {
    const hundredths = fromOurs(Number(bound)) * 100;
    const within = word === 'to' ? Math.floor(hundredths + rounding) : Math.ceil(hundredths - rounding);
    return `${word} ${within / 100}`;
  });
}

/** Far above the tails that unit factors leave, far below a hundredth. */
const rounding = 1e-6;
