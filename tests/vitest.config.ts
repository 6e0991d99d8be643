import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vitest/config';

export default defineConfig({
  root: fileURLToPath(new URL('..', import.meta.url)),
  test: {
    include: ['tests/**/*.test.{ts,tsx}'],
    exclude: ['tests/slow/**', 'tests/bench/**', 'node_modules/**'],
    globalSetup: ['tests/support/database-server.ts'],
    testTimeout: 180_000,
    hookTimeout: 180_000,
    maxWorkers: 2,
  },
});
