import { type Hook, z } from '@hono/zod-openapi';
import type { Context, ErrorHandler, NotFoundHandler, TypedResponse } from 'hono';
import { HTTPException } from 'hono/http-exception';
import type { JSONParsed } from 'hono/utils/types';
import { type Fault, faultsOf } from '../domain/faults.ts';
import type { AppEnv } from './env.ts';
import { isRefusal, type RefusalStatus, statusOf, titleOf } from './status.ts';

const mediaType = 'application/problem+json';

const faultSchema = z
  .object({
    pointer: z.string().openapi({ description: 'JSON pointer of the bad field (RFC 6901)' }),
    field: z.string(),
    value: z.unknown().optional().openapi({ description: 'what came' }),
    message: z.string(),
    allowed: z.array(z.string()).optional(),
  })
  .openapi('Fault');

const problemSchema = z
  .object({
    type: z.string().openapi({ example: 'about:blank' }),
    title: z.string(),
    status: z.int(),
    detail: z.string(),
    requestId: z.string().optional(),
    errors: z.array(faultSchema).optional(),
  })
  .openapi('Problem', { description: 'RFC 9457 problem details; `errors` names every bad field.' });

type ProblemBody = z.infer<typeof problemSchema>;
type ProblemResponse<S extends RefusalStatus> = Response & TypedResponse<JSONParsed<ProblemBody>, S, 'json'>;

/** The one maker of error answers: RFC 9457, the same shape for every refusal. */
export function problem<S extends RefusalStatus>(
  status: S,
  title: string,
  detail: string,
  extra: Pick<ProblemBody, 'errors' | 'requestId'> & { readonly headers?: Readonly<Record<string, string>> } = {},
): ProblemResponse<S> {
  const { headers, ...members } = extra;
  const body: ProblemBody = { type: 'about:blank', title, status, detail, ...members };
  const response = new Response(JSON.stringify(body), { status, headers: { ...headers, 'Content-Type': mediaType } });
  // The border to Hono's route types: a response carries its body's type only as a phantom.
  return response as ProblemResponse<S>;
}

/** A refusal with the usual title of its status. */
export function refusal<S extends RefusalStatus>(
  status: S,
  detail: string,
  headers?: Readonly<Record<string, string>>,
): ProblemResponse<S> {
  return problem(status, titleOf[status], detail, headers ? { headers } : {});
}

/** All faults of one request in one answer; the detail repeats the first so that a log line says something. */
export function faultsProblem<S extends RefusalStatus>(status: S, faults: readonly Fault[]): ProblemResponse<S> {
  const more = faults.length > 1 ? ` (and ${faults.length - 1} more)` : '';
  const detail = `${faults[0]?.message ?? 'The request is not valid'}${more}`;
  return problem(status, titleOf[status], detail, { errors: faults.map(asBody) });
}

/** Leaves the handler with this answer, from any depth. */
export function refuse(response: Response): never {
  throw new HTTPException(statusOf.internal, { res: response });
}

/** The `responses` entries of a route for the refusals it can give. */
export function problemResponses<S extends RefusalStatus>(...statuses: readonly S[]): ProblemResponses<S> {
  const entries = statuses.map((status) => [status, problemEntry(status)]);
  return Object.fromEntries(entries) as ProblemResponses<S>; // fromEntries forgets its keys
}

/**
 * What bad parameters and bodies of documented routes answer: every issue a fault, in one problem. With the schemas of
 * the body and of all parameters each fault also says, in our own words, what its field may hold.
 */
export function validationHook(
  body?: z.ZodType,
  parameters?: z.ZodType,
): Hook<unknown, AppEnv, string, Response | undefined> {
  return (result) => {
    if (result.success) return undefined;
    // The validator passes what came beside the error, though its type does not say so.
    const input = 'data' in result ? result.data : undefined;
    const schema = result.target === 'json' ? body : parameters;
    return faultsProblem(statusOf.invalid, faultsOf(result.error, input, schema));
  };
}

export const onNotFound: NotFoundHandler<AppEnv> = (c) =>
  refusal(statusOf.notFound, `Nothing is served at ${c.req.method} ${c.req.path}; /docs lists what is`);

export const onMethodNotAllowed = (c: Context<AppEnv>, methods: readonly string[]): Response =>
  refusal(statusOf.methodNotAllowed, `${c.req.method} is not one of ${methods.join(', ')}`, {
    Allow: methods.join(', '),
  });

/** A refusal answers as itself; anything else is ours: the log keeps the cause, the answer only the request id. */
export const onError: ErrorHandler<AppEnv> = (error, c) => {
  if (error instanceof HTTPException) return fromException(error);
  const requestId = c.get('requestId');
  c.get('log').error({ err: error }, 'request failed');
  return problem(statusOf.internal, titleOf[500], 'The request could not be answered; the log has the cause', {
    requestId,
  });
};

type ProblemResponses<S extends RefusalStatus> = { [K in S]: ReturnType<typeof problemEntry> };

function problemEntry(status: RefusalStatus) {
  const base = { type: 'about:blank', title: titleOf[status], status };
  const example: ProblemBody =
    status === statusOf.invalid
      ? { ...base, detail: exampleFault.message, errors: [exampleFault] }
      : { ...base, detail: 'What was wrong with this request, and the way out' };
  return { description: titleOf[status], content: { [mediaType]: { schema: problemSchema, example } } };
}

const exampleFault = {
  pointer: '/sections/0/soil',
  field: 'sections[0].soil',
  value: 'medium',
  message: 'sections[0].soil is "medium": one of light, moderate, heavy, severe',
  allowed: ['light', 'moderate', 'heavy', 'severe'],
};

function fromException(error: HTTPException): Response {
  if (error.res) return error.res;
  return isRefusal(error.status) ? refusal(error.status, error.message) : refusal(statusOf.malformed, error.message);
}

function asBody(fault: Fault): NonNullable<ProblemBody['errors']>[number] {
  const { allowed, ...rest } = fault;
  return allowed ? { ...rest, allowed: [...allowed] } : { ...rest };
}
