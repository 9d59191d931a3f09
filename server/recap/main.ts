import { join } from "node:path";
import { loadFollow } from "../http/follow.ts";
import { home } from "../start.ts";
import { writeRecap } from "./write.ts";

const written = await writeRecap(
  process.argv.slice(2),
  process.env,
  home,
  process.env.INIT_CWD ?? process.cwd(),
  loadFollow(join(home, "dist", "pages")),
);
if ("code" in written) {
  console.error(written.say);
  process.exit(1);
}
console.log(`"${written.session}", in ${written.folder}:`);
for (const file of written.files) console.log(`  ${file}`);
