import { readFile } from 'node:fs/promises';
import { createRequire } from 'node:module';
import { dirname, join } from 'node:path';
import { newRouter } from './env.ts';

/** Everything comes from this server; the viewer carries its icons as data. */
const contentSecurityPolicy = [
  "default-src 'none'",
  "script-src 'self'",
  "style-src 'self'",
  "img-src 'self' data:",
  "connect-src 'self'",
  "base-uri 'none'",
  "form-action 'none'",
  "frame-ancestors 'none'",
].join('; ');

const page = `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>secondpass: HTTP interface</title>
<link rel="icon" href="data:,">
<link rel="stylesheet" href="docs/swagger-ui.css">
</head>
<body>
<noscript><p>This page needs scripts; the same description as JSON is at <a href="openapi.json">openapi.json</a>.</p></noscript>
<main id="docs"></main>
<script src="docs/swagger-ui-bundle.js"></script>
<script src="docs/init.js"></script>
</body>
</html>
`;

const init = `window.SwaggerUIBundle({
  url: new URL('openapi.json', document.baseURI).href,
  dom_id: '#docs',
  deepLinking: true,
  validatorUrl: null,
});
`;

const viewerFiles = { 'swagger-ui.css': 'text/css', 'swagger-ui-bundle.js': 'text/javascript' } as const;

/** The readable description at `/docs`, with no outside host. */
export function docsRoutes() {
  const folder = dirname(createRequire(import.meta.url).resolve('swagger-ui-dist/package.json'));
  const router = newRouter();
  router.get('/docs', (c) => c.html(page, 200, { 'Content-Security-Policy': contentSecurityPolicy }));
  router.get('/docs/init.js', (c) => c.body(init, 200, { 'Content-Type': 'text/javascript; charset=utf-8' }));
  for (const [name, type] of Object.entries(viewerFiles)) {
    router.get(`/docs/${name}`, async (c) => {
      const headers = { 'Content-Type': `${type}; charset=utf-8`, 'Cache-Control': 'public, max-age=86400' };
      return c.body(await readFile(join(folder, name), 'utf8'), 200, headers);
    });
  }
  return router;
}
