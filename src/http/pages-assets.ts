import { assetAt } from '../pages/assets.ts';
import { refusal } from './problem.ts';
import { newPages } from './sessions.ts';
import { statusOf } from './status.ts';

/** Styles, scripts and the icon: their names change with their content, so they are kept for a year. */
export function assetRoutes() {
  return newPages().get('/assets/:file', (c) => {
    const asset = assetAt(c.req.param('file'));
    if (!asset) return refusal(statusOf.notFound, 'There is no such file');
    return c.body(asset.body, 200, {
      'Content-Type': asset.type,
      'Cache-Control': 'public, max-age=31536000, immutable',
    });
  });
}
