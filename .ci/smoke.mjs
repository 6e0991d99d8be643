// One shop's first minutes over HTTP: lists, a finished job, an estimate. Run with SHOP_KEY and the server's address.
const [base] = process.argv.slice(2);
const headers = { Authorization: `Bearer ${process.env.SHOP_KEY}`, 'Content-Type': 'application/json' };

await call('PUT', '/v1/technicians', [{ key: 'tia', name: 'Tia (invented)' }], 200);
await call('PUT', '/v1/machines', [{ key: 'big', name: 'Big one (invented)', kind: 'extractor', grade: 'high' }], 200);
const section = { area: 'front-seat', count: 2, fabric: 'knit', soil: 'moderate', method: 'extraction' };
const record = {
  ref: 'S-1',
  finishedAt: '2025-03-04T15:30:00+00:00',
  bodyStyle: 'sedan',
  labour: [{ technician: 'tia', minutes: 95 }],
  extractor: 'big',
  sections: [{ ...section, wetPasses: 2, dryPasses: 2 }],
};
await call('POST', '/v1/records', record, 201);
await call('POST', '/v1/records', record, 200);
const estimate = await call(
  'POST',
  '/v1/estimates',
  { bodyStyle: 'sedan', extractor: 'big', sections: [section] },
  201,
);
const again = await call('GET', `/v1/estimates/${estimate.id}`, undefined, 200);
if (JSON.stringify(again) !== JSON.stringify(estimate)) throw new Error('the stored estimate reads differently');
console.log('compose smoke: one job recorded, one estimate made and read back');

async function call(method, path, body, expected) {
  const response = await fetch(base + path, { method, headers, body: body && JSON.stringify(body) });
  const text = await response.text();
  if (response.status !== expected) throw new Error(`${method} ${path}: ${response.status}, not ${expected}: ${text}`);
  return JSON.parse(text);
}
