import { defineConfig } from 'drizzle-kit';

/** Paths are taken from the project's root, where npm runs the scripts. */
export default defineConfig({ dialect: 'postgresql', schema: './db/schema.ts', out: './db/migrations' });
