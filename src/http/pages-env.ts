import type { Context } from 'hono';
import type { Formats } from '../pages/format.ts';
import type { Session } from '../store/sessions.ts';
import type { AppEnv } from './env.ts';

/** What the guard of a page puts on a request, beside what every request has. */
export interface PageEnv extends AppEnv {
  Variables: AppEnv['Variables'] & { session: Session; formats: Formats };
}

export type PageContext = Context<PageEnv>;
