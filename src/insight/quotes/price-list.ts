import { type PlannedJobInput, plannedJob } from '../../domain/planned.ts';
import { type BodyStyle, bodyStyles, type Soil, soils } from '../../domain/vocabulary.ts';
import { type EstimateContext, quoteJob } from '../../models/estimate.ts';
import type { ShopFit } from '../../models/shop-fit.ts';

export interface ListPrice {
  readonly bodyStyle: BodyStyle;
  readonly soil: Soil;
  readonly cleaned: string;
  readonly hours: number;
  readonly price: number;
  readonly currency: string;
  readonly evidenceShare: number;
}

const seat = { fabric: 'flat-woven', method: 'extraction' } as const;
const scopes = {
  'front and rear seats, left in': { seatsRemoved: false, areas: ['front-seat', 'rear-bench'] },
  'front and rear seats, taken out': { seatsRemoved: true, areas: ['front-seat', 'rear-bench'] },
  'seats and floor, seats taken out': { seatsRemoved: true, areas: ['front-seat', 'rear-bench', 'floor-carpet'] },
} as const;

/** A list to print for the desk: body style × soil × what is cleaned, at the shop's risk; flat-woven seats, extraction, whoever is free. */
export function priceList(fit: ShopFit, context: EstimateContext): readonly ListPrice[] {
  return bodyStyles.flatMap((bodyStyle) =>
    soils.flatMap((soil) =>
      Object.entries(scopes).map(([cleaned, { seatsRemoved, areas }]) => {
        const sections: PlannedJobInput['sections'] = areas.map((area) =>
          area === 'floor-carpet'
            ? { ...seat, area, fabric: 'cut-pile', soil }
            : { ...seat, area, soil, count: area === 'front-seat' ? 2 : 1 },
        );
        const plan = plannedJob.parse({ bodyStyle, seatsRemoved, sections });
        const { hours, price, currency, evidenceShare } = quoteJob(fit, plan, context);
        return { bodyStyle, soil, cleaned, hours, price, currency, evidenceShare };
      }),
    ),
  );
}
