import { roundMoney, roundTo } from '../../domain/money.ts';
import type { PlannedJob } from '../../domain/planned.ts';
import type { ShopSettings } from '../../domain/shop-settings.ts';
import { quantileOf } from './figure.ts';

export interface Quote {
  /** Hours that run over in `risk` of such jobs. */
  readonly hours: number;
  readonly risk: number;
  readonly labourRate: number;
  readonly labourPrice: number;
  readonly materials: number;
  readonly price: number;
  readonly currency: string;
}

/** Every amount is rounded before it is added: what is shown adds up to the last coin. */
export function quoteFor(labourHours: Float64Array, job: PlannedJob, settings: ShopSettings): Quote {
  const { currency, overrunRisk: risk } = settings;
  const labourRate = job.labourRate ?? settings.labourRate;
  const hours = roundTo(quantileOf(labourHours, 1 - risk), 2);
  const labourPrice = roundMoney(hours * labourRate, currency);
  const materials = roundMoney(job.materials ?? settings.materials, currency);
  return {
    hours,
    risk,
    labourRate,
    labourPrice,
    materials,
    price: roundMoney(labourPrice + materials, currency),
    currency,
  };
}
