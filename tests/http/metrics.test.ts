import { describe, expect, it } from 'vitest';
import { createMetrics } from '../../src/http/metrics.ts';

describe('contract: metrics as Prometheus text', () => {
  it('counts requests by route and status and sorts their durations into cumulative buckets', () => {
    const metrics = createMetrics();
    metrics.request('POST', '/v1/records', 201, 0.004);
    metrics.request('POST', '/v1/records', 201, 0.02);
    metrics.request('POST', '/v1/records', 409, 30);
    const lines = metrics.text().split('\n');
    expect(lines).toContain('secondpass_http_requests_total{method="POST",route="/v1/records",status="201"} 2');
    expect(lines).toContain('secondpass_http_requests_total{method="POST",route="/v1/records",status="409"} 1');
    const bucket = 'secondpass_http_request_duration_seconds_bucket{method="POST",route="/v1/records"';
    expect(lines).toContain(`${bucket},le="0.0025"} 0`);
    expect(lines).toContain(`${bucket},le="0.005"} 1`);
    expect(lines).toContain(`${bucket},le="0.025"} 2`);
    expect(lines).toContain(`${bucket},le="10"} 2`);
    expect(lines).toContain(`${bucket},le="+Inf"} 3`);
    expect(lines).toContain('secondpass_http_request_duration_seconds_count{method="POST",route="/v1/records"} 3');
  });

  it('counts accepted records from zero, and fits by how they ended', () => {
    const metrics = createMetrics();
    expect(metrics.text()).toContain('\nsecondpass_records_accepted_total 0\n');
    metrics.recordsAccepted(40);
    metrics.recordsAccepted(2);
    metrics.fitEnded('published');
    metrics.fitEnded('refused');
    expect(metrics.text()).toContain('\nsecondpass_records_accepted_total 42\n');
    expect(metrics.text()).toContain(
      'secondpass_fits_total{status="published"} 1\nsecondpass_fits_total{status="refused"} 1\n',
    );
  });

  it('gives every metric a HELP and a TYPE line and every sample a number', () => {
    const metrics = createMetrics();
    metrics.request('GET', '/say "hi"\\', 200, 0.1);
    const lines = metrics.text().trimEnd().split('\n');
    expect(lines.filter((line) => line.startsWith('# TYPE'))).toHaveLength(4);
    const sample = /^[a-z_]+(\{[a-z_]+="(?:[^"\\]|\\.)*"(,[a-z_]+="(?:[^"\\]|\\.)*")*\})? [0-9.e+-]+$/;
    for (const line of lines.filter((text) => !text.startsWith('#'))) expect(line).toMatch(sample);
  });
});
