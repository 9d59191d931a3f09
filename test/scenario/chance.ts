import fc from "fast-check";

// A run that decides whether work lands tries the same cases each time; every other run tries new ones.
if (process.env.CI) fc.configureGlobal({ seed: 20_310_517 });
