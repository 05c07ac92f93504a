// One bundle for the workbench page: a small script on every page, and the part view where a page
// has one. Names carry a fingerprint; manifest.json tells the server which they are.
import { defineConfig } from "vitest/config";

export default defineConfig({
  base: "/bundle/",
  publicDir: false,
  build: {
    outDir: "../src/tankside/web/bundle",
    emptyOutDir: true,
    manifest: "manifest.json",
    assetsDir: "",
    target: "es2022",
    modulePreload: false,
    chunkSizeWarningLimit: 900,
    license: { fileName: "third-party.md" },
    rollupOptions: { input: ["src/main.ts"] },
  },
  test: { include: ["tests/**/*.test.ts"], environment: "node" },
});
