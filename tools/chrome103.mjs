// Refuses script and style newer than Chrome 103 in the built overlay, dependencies included.
//
// A build target lowers syntax but adds no missing feature, and the browsers that broadcasters
// embed stay at one version for years. What a browser knows is read from MDN's compatibility data.
//
// A script has no types any more when it is built, so `list.toSorted()` is known by its name only.
// A member is refused when every interface that has a member of that name got it after Chrome 103.
// When the bundle itself gives that name to a property, it is taken for the bundle's own.
import { readdirSync, readFileSync } from "node:fs";
import { extname, join } from "node:path";
import { pathToFileURL } from "node:url";
import bcd from "@mdn/browser-compat-data/forLegacyNode";
import * as acorn from "acorn";
import * as csstree from "css-tree";
import { analyze } from "eslint-scope";
import { root } from "./build.mjs";

/**
 * @typedef {import("@mdn/browser-compat-data/types").Identifier} Feature
 * @typedef {{ what: string, since: string, near: string }} Finding
 */

const chrome = 103;

/**
 * What library code asks for and does without where it is missing, and how often the bundle may
 * name it for that.
 * @type {{ what: string, times: number, because: string }[]}
 */
const allowed = [
  {
    what: ".moveBefore",
    times: 2,
    because: "preact asks whether the parent has it, and takes insertBefore where it has not",
  },
  {
    what: "URL.canParse",
    times: 2,
    because: "zod asks for its type, and takes new URL where it is none of a function",
  },
  {
    what: ".getSetCookie",
    times: 1,
    because: "engine.io-client has it for Node, where alone it keeps cookies itself",
  },
];

/** Objects that are there without being named by their interface. */
const instances = new Map([
  ["window", "Window"],
  ["self", "Window"],
  ["globalThis", "Window"],
  ["navigator", "Navigator"],
  ["document", "Document"],
  ["performance", "Performance"],
  ["screen", "Screen"],
  ["history", "History"],
  ["location", "Location"],
  ["crypto", "Crypto"],
  ["localStorage", "Storage"],
  ["sessionStorage", "Storage"],
]);

const builtins = branch(bcd.javascript.builtins);
const api = branch(bcd.api);
const membersByName = indexMembers();
const cssTypesByName = indexCssTypes();

/**
 * What a script uses that Chrome 103 has not.
 * @param {string} code an ES module
 * @returns {Finding[]}
 */
export function newerThanChrome103InScript(code) {
  /** @type {acorn.Program} */
  let program;
  try {
    // Chrome 103 knows all of ES2022, and of later editions no syntax.
    program = acorn.parse(code, { ecmaVersion: 2022, sourceType: "module", ranges: true });
  } catch (error) {
    const { message, pos = 0 } = /** @type {SyntaxError & { pos?: number }} */ (error);
    return [
      {
        what: `syntax (${message})`,
        since: "a later edition than ES2022",
        near: excerpt(code, pos),
      },
    ];
  }
  const globals = globalsOf(program);
  const own = ownNames(program);
  /** @type {Finding[]} */
  const findings = [];
  /** @param {Feature | undefined} feature @param {string} what @param {acorn.Node} node */
  const report = (feature, what, node) => {
    if (feature && isTooNew(feature)) {
      findings.push({ what, since: sinceOf(feature), near: excerpt(code, node.start) });
    }
  };

  walk(program, (node, parent) => {
    if (node.type === "Identifier" && globals.has(node)) {
      // typeof asks whether it is there.
      if (parent?.type === "UnaryExpression" && parent.operator === "typeof") return;
      const { name } = node;
      report(builtins[name] ?? api[name] ?? branch(api.Window)[name], name, node);
    } else if (node.type === "MemberExpression") {
      const name = nameOf(node.property, node.computed);
      if (name === undefined) return;
      const { object } = node;
      const owner = object.type === "Identifier" && globals.has(object) ? object.name : undefined;
      const known = owner === undefined ? undefined : memberOf(owner, name);
      if (known) report(known, `${owner}.${name}`, node.property);
      else if (!own.has(name)) report(onlyNewMember(name), `.${name}`, node.property);
    } else if (node.type === "ObjectPattern") {
      for (const property of node.properties) {
        if (property.type !== "Property") continue;
        const name = nameOf(property.key, property.computed);
        if (name !== undefined && !own.has(name)) report(onlyNewMember(name), `.${name}`, property);
      }
    } else if (node.type === "Property" && nameOf(node.key, node.computed) === "style") {
      findings.push(...inlineStyle(node.value));
    }
  });
  return findings;
}

/**
 * What a style sheet uses that Chrome 103 has not.
 * @param {string} css
 * @returns {Finding[]}
 */
export function newerThanChrome103InStyle(css) {
  const properties = branch(bcd.css.properties);
  const atRules = branch(bcd.css["at-rules"]);
  const selectors = branch(bcd.css.selectors);
  /** @type {Finding[]} */
  const findings = [];
  /** @param {Feature | undefined} feature @param {string} what @param {csstree.CssNode} node */
  const report = (feature, what, node) => {
    if (!feature || !isTooNew(feature)) return;
    const near = excerpt(css, node.loc?.start.offset ?? 0);
    findings.push({ what, since: sinceOf(feature), near });
  };
  const tree = csstree.parse(css, {
    positions: true,
    parseCustomProperty: true,
    onParseError: (error) =>
      findings.push({
        what: `syntax (${error.message})`,
        since: "an unknown version",
        near: excerpt(css, /** @type {{ offset?: number }} */ (error).offset ?? 0),
      }),
  });

  csstree.walk(tree, function (node) {
    const declaration = this.declaration?.property;
    // In @font-face, @property and their like, descriptors stand where properties do elsewhere.
    const atRule = this.atrule && !this.rule ? this.atrule.name : undefined;
    switch (node.type) {
      case "Atrule":
        report(atRules[node.name], `@${node.name}`, node);
        break;
      case "Feature":
        report(branch(atRules.media)[node.name], `(${node.name})`, node);
        break;
      case "FeatureRange":
        report(branch(atRules.media).range_syntax, "a range in a media query", node);
        break;
      case "PseudoClassSelector":
      case "PseudoElementSelector":
        report(selectors[node.name], `:${node.name}`, node);
        break;
      case "NestingSelector":
        report(selectors.nesting, "nesting", node);
        break;
      case "Rule":
        if (this.rule && this.rule !== node) report(selectors.nesting, "nesting", node);
        break;
      case "Declaration":
        if (atRule) report(branch(atRules[atRule])[node.property], node.property, node);
        else report(properties[node.property], node.property, node);
        break;
      case "Identifier":
        if (declaration) {
          const feature = branch(properties[declaration])[node.name];
          report(feature, `${declaration}: ${node.name}`, node);
        }
        break;
      case "Function":
        if (declaration) report(onlyNew(cssTypesByName.get(node.name)), `${node.name}()`, node);
        if (declaration && startsWithFrom(node)) {
          const color = branch(branch(bcd.css.types).color)[node.name.replace(/a$/, "")];
          report(branch(color).relative_syntax, `${node.name}(from)`, node);
        }
        break;
      case "Dimension":
        report(lengthUnit(node.unit), node.unit, node);
        break;
    }
  });
  return findings;
}

/** @param {csstree.FunctionNode} node whether it is a colour made from another one */
function startsWithFrom(node) {
  const first = node.children.first;
  return first?.type === "Identifier" && first.name === "from";
}

/** @param {string} unit */
function lengthUnit(unit) {
  const lengths = branch(branch(bcd.css.types).length);
  if (/^cq/.test(unit)) return lengths.container_query_length_units;
  if (/^[dsl]v(w|h|i|b|min|max)$/.test(unit)) return lengths.viewport_percentage_units_dynamic;
  return lengths[unit];
}

/**
 * A style given as an object, read as if it stood in a style sheet.
 * @param {acorn.AnyNode} value
 */
function inlineStyle(value) {
  if (value.type !== "ObjectExpression") return [];
  const declarations = value.properties.flatMap((property) => {
    if (property.type !== "Property") return [];
    const name = nameOf(property.key, property.computed);
    if (name === undefined) return [];
    const content = property.value.type === "Literal" ? String(property.value.value) : "inherit";
    const kebab = name.replace(/[A-Z]/g, (letter) => `-${letter.toLowerCase()}`);
    return [`${kebab}: ${content}`];
  });
  return newerThanChrome103InStyle(`x { ${declarations.join("; ")} }`);
}

/**
 * The identifiers that no scope of the bundle declares.
 * @param {acorn.Program} program
 */
function globalsOf(program) {
  const scopes = analyze(/** @type {import("estree").Program} */ (program), {
    ecmaVersion: 2022,
    sourceType: "module",
  });
  const through = scopes.globalScope?.through ?? [];
  return new Set(through.map((reference) => /** @type {unknown} */ (reference.identifier)));
}

/**
 * The names that the bundle itself gives to properties.
 * @param {acorn.Program} program
 */
function ownNames(program) {
  /** @type {Set<string>} */
  const names = new Set();
  walk(program, (node, parent) => {
    const keyed =
      node.type === "MethodDefinition" ||
      node.type === "PropertyDefinition" ||
      (node.type === "Property" && parent?.type === "ObjectExpression");
    if (keyed) {
      const name = nameOf(node.key, node.computed);
      if (name !== undefined) names.add(name);
    } else if (node.type === "AssignmentExpression" && node.left.type === "MemberExpression") {
      const name = nameOf(node.left.property, node.left.computed);
      if (name !== undefined) names.add(name);
    }
  });
  return names;
}

/**
 * @param {acorn.AnyNode} key
 * @param {boolean} computed
 */
function nameOf(key, computed) {
  if (!computed && key.type === "Identifier") return key.name;
  return key.type === "Literal" && typeof key.value === "string" ? key.value : undefined;
}

/**
 * @param {acorn.AnyNode} node
 * @param {(node: acorn.AnyNode, parent: acorn.AnyNode | undefined) => void} visit
 * @param {acorn.AnyNode} [parent]
 */
function walk(node, visit, parent) {
  visit(node, parent);
  for (const child of Object.values(node).flat()) {
    if (child && typeof child === "object" && "type" in child && "start" in child) {
      walk(/** @type {acorn.AnyNode} */ (child), visit, node);
    }
  }
}

/**
 * A member of a global object, where that object is known.
 * @param {string} owner
 * @param {string} name
 */
function memberOf(owner, name) {
  const instance = instances.get(owner);
  if (instance)
    return branch(api[instance])[name] ?? (instance === "Window" ? api[name] : undefined);
  const home = branch(builtins[owner] ?? api[owner]);
  return home[`${name}_static`] ?? home[name];
}

/** @param {string} name */
function onlyNewMember(name) {
  return onlyNew(membersByName.get(name));
}

/**
 * The first of some features if Chrome 103 has none of them.
 * @param {Feature[] | undefined} features
 */
function onlyNew(features) {
  return features?.every(isTooNew) ? features[0] : undefined;
}

function indexMembers() {
  /** @type {Map<string, Feature[]>} */
  const index = new Map();
  for (const owner of [...Object.values(builtins), ...Object.values(api)]) {
    for (const [key, feature] of Object.entries(branch(owner))) {
      const name = key.replace(/_static$/, "");
      if (name.includes("_")) continue;
      index.set(name, [...(index.get(name) ?? []), feature]);
    }
  }
  // Names are also those of whole interfaces and functions (window.Intl).
  for (const [name, feature] of [...Object.entries(builtins), ...Object.entries(api)]) {
    index.set(name, [...(index.get(name) ?? []), feature]);
  }
  return index;
}

function indexCssTypes() {
  /** @type {Map<string, Feature[]>} */
  const index = new Map();
  /** @param {Feature} feature */
  const add = (feature) => {
    for (const [key, child] of Object.entries(branch(feature))) {
      const name = key.replace(/[-_]function$/, "");
      index.set(name, [...(index.get(name) ?? []), child]);
      add(child);
    }
  };
  add(/** @type {Feature} */ (bcd.css.types));
  return index;
}

/**
 * The features below another one.
 * @param {Feature | undefined} feature
 * @returns {Record<string, Feature>}
 */
function branch(feature) {
  if (!feature) return {};
  const { __compat, ...rest } = feature;
  return /** @type {Record<string, Feature>} */ (rest);
}

/** @param {Feature} feature */
function isTooNew(feature) {
  const statements = statementsOf(feature);
  return (
    statements.length > 0 &&
    !statements.some(
      ({
        version_added: added,
        version_removed: removed,
        flags,
        prefix,
        alternative_name: other,
      }) =>
        added !== false &&
        added !== "preview" &&
        versionOf(added) <= chrome &&
        !(removed && versionOf(removed) <= chrome) &&
        !flags &&
        !prefix &&
        !other,
    )
  );
}

/** @param {Feature} feature */
function sinceOf(feature) {
  const added = statementsOf(feature).find(({ flags }) => !flags)?.version_added;
  return added ? `Chrome ${added}` : "no Chrome yet";
}

/** @param {Feature} feature */
function statementsOf(feature) {
  return [feature.__compat?.support.chrome ?? []].flat();
}

/** @param {string | boolean} version */
function versionOf(version) {
  return Number.parseInt(String(version).replace("≤", ""), 10);
}

/** @param {string} text @param {number} at */
function excerpt(text, at) {
  return text.slice(Math.max(0, at - 30), at + 40).replace(/\s+/g, " ");
}

/**
 * Looks through the scripts and styles of a folder, and lets through what is allowed.
 * @param {string} folder
 */
export function checkFolder(folder) {
  const files = readdirSync(folder).filter((file) => [".js", ".css"].includes(extname(file)));
  if (files.length === 0) throw new Error(`There is no script and no style in ${folder}.`);
  const findings = files.flatMap((file) => {
    const text = readFileSync(join(folder, file), "utf8");
    const newer = extname(file) === ".js" ? newerThanChrome103InScript : newerThanChrome103InStyle;
    return newer(text).map((finding) => ({ file, ...finding }));
  });
  return findings.filter(({ what }) => {
    const times = allowed.find((entry) => entry.what === what)?.times ?? 0;
    return findings.filter((finding) => finding.what === what).length > times;
  });
}

if (process.argv[1] && import.meta.url === pathToFileURL(process.argv[1]).href) {
  const findings = checkFolder(join(root, "dist", "pages", "overlay"));
  for (const { file, what, since, near } of findings) {
    console.error(`${file}: ${what} came with ${since}, near: ${near}`);
  }
  if (findings.length > 0) process.exit(1);
  console.log("The overlay uses nothing newer than Chrome 103.");
}
