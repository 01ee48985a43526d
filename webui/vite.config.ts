import { svelte } from "@sveltejs/vite-plugin-svelte";
import { defineConfig } from "vitest/config";

export default defineConfig({
  plugins: [svelte()],
  resolve: process.env.VITEST ? { conditions: ["browser"] } : {},
  build: {
    outDir: "../src/groundroll/web/static",
    emptyOutDir: true,
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
    target: "es2022",
  },
  server: { proxy: { "/api": "http://127.0.0.1:8642" } },
  test: { environment: "jsdom", include: ["src/**/*.test.ts"] },
});
