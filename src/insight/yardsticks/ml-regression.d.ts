/** The one regression of ml-regression that the program uses; the package carries no types. */
declare module 'ml-regression' {
  export class MultivariateLinearRegression {
    constructor(
      x: readonly (readonly number[])[],
      y: readonly (readonly number[])[],
      options?: { intercept?: boolean; statistics?: boolean },
    );
    /** One row a column of x, the intercept last. */
    readonly weights: readonly (readonly number[])[];
  }
}
