import { defineConfig } from "vitest/config";

export default defineConfig({ test: { include: ["test/make-fixture.ts"] } });
