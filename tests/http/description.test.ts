import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type AppUnderTest, read, startApp } from './app-under-test.ts';

interface Media {
  readonly schema?: unknown;
  readonly example?: unknown;
}
interface Operation {
  readonly summary?: string;
  readonly tags?: readonly string[];
  readonly security?: readonly unknown[];
  readonly parameters?: readonly { readonly name: string; readonly in: string; readonly required?: boolean }[];
  readonly requestBody?: { readonly content: Readonly<Record<string, Media>> };
  readonly responses: Readonly<
    Record<string, { readonly description?: string; readonly content?: Readonly<Record<string, Media>> }>
  >;
}
interface Description {
  readonly openapi: string;
  readonly info: { readonly title: string; readonly version: string };
  readonly security: readonly unknown[];
  readonly tags: readonly { readonly name: string }[];
  readonly paths: Readonly<Record<string, Readonly<Record<string, Operation>>>>;
  readonly components: { readonly securitySchemes: { readonly shopKey?: unknown } };
}

let app: AppUnderTest;
let description: Description;
let operations: (readonly [string, string, Operation])[];
beforeAll(async () => {
  app = await startApp();
  description = await read<Description>(await app.call('GET', '/openapi.json'));
  operations = Object.entries(description.paths).flatMap(([path, methods]) =>
    Object.entries(methods).map(([method, operation]) => [`${method.toUpperCase()} ${path}`, path, operation] as const),
  );
});
afterAll(() => app.close());

describe('contract: /openapi.json', () => {
  it('is OpenAPI 3.1 and describes the calls of the contract', () => {
    expect(description.openapi).toBe('3.1.0');
    expect(description.info.title).toBe('secondpass');
    const calls = operations.map(([call]) => call);
    for (const call of contract) expect(calls).toContain(call);
  });

  it('describes every route that is mounted, and nothing else under /v1', () => {
    const described = new Set(operations.map(([call]) => call.replaceAll(/\{(\w+)\}/g, ':$1')));
    const mounted = app.routes.filter((route) => route.includes(' /v1/'));
    expect(mounted.filter((route) => !described.has(route))).toEqual([]);
    expect(mounted.length).toBeGreaterThan(5);
  });

  it('gives every call a summary, a known tag and an example of each body it takes or answers', () => {
    const tags = description.tags.map((tag) => tag.name);
    for (const [call, , { summary, tags: own, requestBody, responses }] of operations) {
      expect([call, summary]).toEqual([call, expect.stringMatching(/\w/)]);
      expect([call, own?.every((tag) => tags.includes(tag))]).toEqual([call, true]);
      const contents = [requestBody, ...Object.values(responses)].flatMap((one) => Object.entries(one?.content ?? {}));
      for (const [type, media] of contents) {
        const exampled = JSON.stringify(media).includes('"example');
        expect([call, type, exampled]).toEqual([call, type, true]);
      }
    }
  });

  it('declares each parameter of a path, and describes every answer', () => {
    for (const [call, path, operation] of operations) {
      const named = [...path.matchAll(/\{(\w+)\}/g)].map((match) => match[1]);
      const declared = (operation.parameters ?? []).filter((one) => one.in === 'path');
      expect([call, declared.map((one) => one.name)]).toEqual([call, named]);
      expect(declared.every((one) => one.required)).toBe(true);
      for (const answer of Object.values(operation.responses)) expect(answer.description).toMatch(/\w/);
    }
  });

  it('asks for the bearer key everywhere but where the server is looked after, and says which refusals to expect', () => {
    expect(description.security).toEqual([{ shopKey: [] }]);
    expect(description.components.securitySchemes.shopKey).toMatchObject({ type: 'http', scheme: 'bearer' });
    for (const [call, path, { security, responses }] of operations) {
      expect([call, security]).toEqual([call, path.startsWith('/v1') ? undefined : []]);
      if (!path.startsWith('/v1')) continue;
      expect([call, Object.keys(responses)]).toEqual([call, expect.arrayContaining(['401', '429'])]);
      expect([call, Object.keys(responses['401']?.content ?? {})]).toEqual([call, ['application/problem+json']]);
    }
  });

  it('refers to nothing that is missing', () => {
    const text = JSON.stringify(description);
    const refs = [...text.matchAll(/"\$ref":"#\/([^"]+)"/g)].map((match) => match[1] ?? '');
    expect(refs.length).toBeGreaterThan(0);
    for (const ref of new Set(refs)) {
      const found = ref.split('/').reduce<unknown>((node, step) => Reflect.get(Object(node), step), description);
      expect([ref, found]).toEqual([ref, expect.any(Object)]);
    }
  });
});

describe('contract: /docs', () => {
  it('is a page whose every part comes from this server', async () => {
    const page = await app.call('GET', '/docs');
    expect(page.status).toBe(200);
    const html = await page.text();
    expect(html).not.toMatch(/https?:|src="\/\//);
    const parts = [...html.matchAll(/(?:src|href)="([^"]+)"/g)].map((match) => match[1] ?? '');
    expect(parts).toEqual(expect.arrayContaining(['docs/swagger-ui.css', 'docs/swagger-ui-bundle.js', 'docs/init.js']));
    for (const part of parts.filter((one) => !one.startsWith('data:'))) {
      const answer = await app.call('GET', `/${part}`);
      expect([part, answer.status]).toEqual([part, 200]);
      expect((await answer.text()).length).toBeGreaterThan(100);
    }
  });

  it('has a policy that lets nothing in from elsewhere and runs no script of its own page', async () => {
    const policy = (await app.call('GET', '/docs')).headers.get('content-security-policy') ?? '';
    expect(policy).toContain("default-src 'none'");
    expect(policy).toContain("script-src 'self';");
    expect(policy).toContain("connect-src 'self'");
    expect(policy).not.toMatch(/https?:|\*|unsafe-eval/);
    expect(await (await app.call('GET', '/docs')).text()).not.toMatch(/<script>|onload=|onclick=/);
  });

  it('asks no outside validator', async () => {
    const init = await (await app.call('GET', '/docs/init.js')).text();
    expect(init).toContain('validatorUrl: null');
    expect(init).not.toMatch(/https?:/);
  });
});

const contract = [
  'POST /v1/estimates',
  'GET /v1/estimates/{id}',
  'POST /v1/fits',
  'GET /v1/fits',
  'GET /v1/fits/{id}',
  'GET /v1/settings',
  'PUT /v1/settings',
  'GET /v1/keys',
  'POST /v1/keys',
  'DELETE /v1/keys/{keyId}',
  'POST /v1/records',
  'GET /v1/records',
  'GET /v1/records/{ref}',
  'PUT /v1/records/{ref}',
  'DELETE /v1/records/{ref}',
  'POST /v1/records/{ref}/checks',
  'POST /v1/records/{ref}/comebacks',
  'GET /v1/technicians',
  'PUT /v1/technicians',
  'GET /v1/machines',
  'PUT /v1/machines',
  'GET /healthz',
  'GET /readyz',
  'GET /metrics',
];
