// The directions in which files may import one another, for dependency-cruiser.

/** @type {import("dependency-cruiser").IConfiguration} */
export default {
  forbidden: [
    {
      name: "shared-is-pure",
      comment:
        "The rules are used by the server and by every page, so they import nothing of ours.",
      severity: "error",
      from: { path: "^shared/" },
      to: { pathNot: ["^shared/", "(^|/)node_modules/"] },
    },
    {
      name: "server-imports-no-page",
      severity: "error",
      from: { path: "^server/" },
      to: { path: "^(overlay|controller)/" },
    },
    {
      name: "overlay-stands-alone",
      severity: "error",
      from: { path: "^overlay/" },
      to: { path: "^(server|controller)/" },
    },
    {
      name: "controller-stands-alone",
      severity: "error",
      from: { path: "^controller/" },
      to: { path: "^(server|overlay)/" },
    },
    {
      name: "broadcast-page-stands-alone",
      severity: "error",
      from: { path: "^overlay/broadcast/" },
      to: { path: "^overlay/follow/" },
    },
    {
      name: "follow-page-stands-alone",
      severity: "error",
      from: { path: "^overlay/follow/" },
      to: { path: "^overlay/broadcast/" },
    },
    {
      name: "no-node-in-a-page",
      severity: "error",
      from: { path: "^(overlay|controller)/" },
      to: { dependencyTypes: ["core"] },
    },
    {
      name: "no-cycle",
      severity: "error",
      from: {},
      to: { circular: true },
    },
    {
      name: "no-orphan",
      comment: "A file that nothing imports is either an entry or forgotten.",
      severity: "error",
      from: { orphan: true, pathNot: "(/main\\.tsx?|\\.d\\.ts)$" },
      to: {},
    },
    {
      name: "resolves",
      severity: "error",
      from: {},
      to: { couldNotResolve: true },
    },
    {
      name: "no-test-package-in-source",
      severity: "error",
      from: { path: "^(server|overlay|controller|shared)/" },
      to: { dependencyTypes: ["npm-dev"], dependencyTypesNot: ["type-only"] },
    },
  ],
  options: {
    doNotFollow: { path: "node_modules" },
    tsPreCompilationDeps: true,
    tsConfig: { fileName: "tsconfig.json" },
    enhancedResolveOptions: {
      exportsFields: ["exports"],
      conditionNames: ["import", "node", "default", "types"],
      extensions: [".ts", ".tsx", ".mjs", ".js", ".json", ".css"],
    },
  },
};
