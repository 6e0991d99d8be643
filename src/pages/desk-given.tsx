import type { Took } from '../insight/what-it-took.ts';
import { type EstimateProps, EstimateView } from './desk-estimate.tsx';
import { planInWords } from './desk-plan-words.ts';
import { WhatItTook } from './desk-took.tsx';

interface GivenProps extends EstimateProps {
  readonly took: readonly Took[];
}

/** An estimate that was given, as it was given; and, later, what the job took. */
export function Given({ took, ...given }: GivenProps) {
  const { estimate, plan, formats } = given;
  return (
    <>
      <p>
        Given {formats.dateTime(new Date(estimate.madeAt))}: {planInWords(plan)}.
      </p>
      <p class="ways-on no-print">
        <a class="button" href={`/estimate/${estimate.id}/customer`}>
          Page for the customer
        </a>
        <a class="button second" href={`/jobs/new?estimate=${estimate.id}`}>
          Record this job
        </a>
        <a class="button second" href={`/estimate?like=${estimate.id}`}>
          Another like it
        </a>
      </p>
      {took.map((one) => (
        <WhatItTook took={one} {...given} />
      ))}
      {took.length > 0 && <h2>What was said</h2>}
      <EstimateView {...given} />
      <p class="soft">Its number, for the record of the job: {estimate.id}</p>
    </>
  );
}
