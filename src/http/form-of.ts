import type { Context } from 'hono';
import { HTTPException } from 'hono/http-exception';
import { statusOf } from './status.ts';

/** The form that was sent. What is none is the sender's fault, not ours: the platform says so with a TypeError alone. */
export async function formOf({ req }: { readonly req: Pick<Context['req'], 'formData'> }): Promise<FormData> {
  try {
    return await req.formData();
  } catch (error) {
    if (!(error instanceof TypeError)) throw error;
    throw new HTTPException(statusOf.malformed, { message: 'The body is no form that can be read', cause: error });
  }
}
