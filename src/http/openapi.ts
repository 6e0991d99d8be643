import type { OpenAPIHono } from '@hono/zod-openapi';
import type { AppEnv } from './env.ts';

const description = `Finished jobs in, a nightly fit, an honest estimate out: passes, person-hours, water left in and drying
time for cloth vehicle interiors, learnt from a shop's own records.

The figures are estimates from a shop's records, no safety advice; makers' instructions, local rules and licensed
practice come first. Every error is RFC 9457 \`application/problem+json\` and names every bad field.`;

const tags = [
  { name: 'records', description: 'Finished jobs, one or many, and what is learnt after the work' },
  { name: 'lists', description: 'The technicians and machines of the shop' },
  { name: 'estimates', description: 'A planned job: passes, hours, water, drying and a quote' },
  { name: 'fits', description: 'What was learnt, when, and how far it can be trusted' },
  { name: 'reports', description: 'Are the quotes right, would another extractor pay, who leaves too much water in' },
  { name: 'shop', description: 'Settings and keys' },
  { name: 'operation', description: 'For whoever runs the server; no key needed' },
];

/** Serves the description of all mounted routes as OpenAPI 3.1; to be called after the last route. */
export function describeInterface(app: OpenAPIHono<AppEnv>): void {
  app.openAPIRegistry.registerComponent('securitySchemes', 'shopKey', {
    type: 'http',
    scheme: 'bearer',
    bearerFormat: 'spk_…',
    description:
      'A key of one shop with one role: technician (records), desk (also estimates and reports) or owner (also people, machines, keys and fits)',
  });
  const document = app.getOpenAPI31Document({
    openapi: '3.1.0',
    info: { title: 'secondpass', version: '1', description, license: { name: 'MIT' } },
    servers: [{ url: '/' }],
    security: [{ shopKey: [] }],
    tags,
  });
  app.get('/openapi.json', (c) => c.json(document));
}
