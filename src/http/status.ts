/** Every refusal the interface knows, and the one place that gives it a status code. */
export const statusOf = {
  malformed: 400,
  unauthorized: 401,
  forbidden: 403,
  notFound: 404,
  methodNotAllowed: 405,
  conflict: 409,
  preconditionFailed: 412,
  tooLarge: 413,
  unsupportedMediaType: 415,
  invalid: 422,
  preconditionRequired: 428,
  tooManyRequests: 429,
  internal: 500,
  unavailable: 503,
} as const;

export type RefusalStatus = (typeof statusOf)[keyof typeof statusOf];

/** The short name of a status, the same for every problem that has it (RFC 9457, 3.1.3). */
export const titleOf: Readonly<Record<RefusalStatus, string>> = {
  400: 'Malformed request',
  401: 'A key is needed',
  403: 'Not with this key',
  404: 'Not found',
  405: 'Not a method of this address',
  409: 'Conflict',
  412: 'Changed meanwhile',
  413: 'Too large',
  415: 'Unsupported content type',
  422: 'Invalid content',
  428: 'A condition is needed',
  429: 'Too many requests',
  500: 'Internal error',
  503: 'Not ready',
};

export function isRefusal(status: number): status is RefusalStatus {
  return status in titleOf;
}
