// Runs all tests of the link to the broadcasting software, on a real one, which has to be installed.
process.env.POURSIDE_BROADCASTER = "required";
process.argv.push("test/broadcast/");
await import("../../test.mjs");
