/** Hours since 1970 of the last day of the records; the plans are of the January after. */
export const lastDay = Date.UTC(2025, 11, 31) / 3.6e6;

/** Hour of the day, 0 to 24, of an hour since 1970. */
export const clock = (hour: number) => ((hour % 24) + 24) % 24;

/** An hour since 1970 as people write it, to the minute. */
export const iso = (hour: number) => new Date(Math.round(hour * 60) * 60_000).toISOString();

/** Share of the year gone by; a year has 8766 hours. */
export const shareOfYear = (hour: number) => (hour / 8766) % 1;
