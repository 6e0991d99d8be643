import { customType } from 'drizzle-orm/pg-core';

/** PostgreSQL's bytea, which drizzle has no column for. */
export const bytes = customType<{ data: Buffer; driverData: Buffer }>({ dataType: () => 'bytea' });
