/** Labels in the order in which they were declared, as Prometheus wants them: `{route="/v1/records",status="201"}`. */
type Labels = Readonly<Record<string, string>>;

/** The counts of this process, as Prometheus text (exposition format 0.0.4). No shop and no person is a label. */
export interface Metrics {
  request(method: string, route: string, status: number, seconds: number): void;
  recordsAccepted(count: number): void;
  fitEnded(status: string): void;
  text(): string;
}

const durationBounds = [0.001, 0.0025, 0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1, 2.5, 10] as const;

export function createMetrics(): Metrics {
  const requests = counter('secondpass_http_requests_total', 'Answered requests by route and status.');
  const durations = histogram('secondpass_http_request_duration_seconds', 'Time to answer, by route.', durationBounds);
  const records = counter(
    'secondpass_records_accepted_total',
    'Finished jobs that programs and imports stored for the first time or replaced.',
  );
  const fits = counter('secondpass_fits_total', 'Runs of the nightly task in this process, by how they ended.');
  records.add({}, 0);
  return {
    request: (method, route, status, seconds) => {
      requests.add({ method, route, status: String(status) }, 1);
      durations.observe({ method, route }, seconds);
    },
    recordsAccepted: (count) => records.add({}, count),
    fitEnded: (status) => fits.add({ status }, 1),
    text: () => [requests, durations, records, fits].map((metric) => metric.text()).join(''),
  };
}

function counter(name: string, help: string) {
  const values = new Map<string, number>();
  return {
    add: (labels: Labels, by: number) => {
      const key = labelText(labels);
      values.set(key, (values.get(key) ?? 0) + by);
    },
    text: () => heading(name, help, 'counter') + lines(name, values),
  };
}

function histogram(name: string, help: string, bounds: readonly number[]) {
  const series = new Map<string, { labels: Labels; buckets: number[]; sum: number; count: number }>();
  return {
    observe: (labels: Labels, value: number) => {
      const key = labelText(labels);
      const one = series.get(key) ?? { labels, buckets: bounds.map(() => 0), sum: 0, count: 0 };
      bounds.forEach((bound, i) => {
        if (value <= bound) one.buckets[i] = (one.buckets[i] ?? 0) + 1;
      });
      one.sum += value;
      one.count += 1;
      series.set(key, one);
    },
    text: () => {
      const out = new Map<string, number>();
      for (const { labels, buckets, sum, count } of series.values()) {
        bounds.forEach((bound, i) => {
          out.set(`_bucket${labelText({ ...labels, le: String(bound) })}`, buckets[i] ?? 0);
        });
        out.set(`_bucket${labelText({ ...labels, le: '+Inf' })}`, count);
        out.set(`_sum${labelText(labels)}`, sum);
        out.set(`_count${labelText(labels)}`, count);
      }
      return heading(name, help, 'histogram') + lines(name, out);
    },
  };
}

function heading(name: string, help: string, type: string): string {
  return `# HELP ${name} ${help}\n# TYPE ${name} ${type}\n`;
}

function lines(name: string, values: ReadonlyMap<string, number>): string {
  return [...values].map(([suffix, value]) => `${name}${suffix} ${value}\n`).join('');
}

function labelText(labels: Labels): string {
  const pairs = Object.entries(labels).map(([name, value]) => `${name}="${escaped(value)}"`);
  return pairs.length === 0 ? '' : `{${pairs.join(',')}}`;
}

function escaped(value: string): string {
  return value.replaceAll('\\', '\\\\').replaceAll('"', '\\"').replaceAll('\n', '\\n');
}
