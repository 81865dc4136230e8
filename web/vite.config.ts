import { defineConfig } from "vite";
import solid from "vite-plugin-solid";

export default defineConfig({
  plugins: [solid()],
  build: {
    target: "es2022",
    // The desk forbids scripts and styles written into the page, and pictures or fonts as data.
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
    reportCompressedSize: false,
  },
  server: { proxy: { "/talk": { target: "ws://127.0.0.1:4177", ws: true } } },
  test: { include: ["tests/unit/**/*.test.ts"], environment: "node" },
} as Parameters<typeof defineConfig>[0]);
