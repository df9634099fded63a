/* The demo bakery. */
#ifndef MORROWLOAF_DEMO_H
#define MORROWLOAF_DEMO_H

struct settings;

/* Loads the demo bakery into a bakery that has no settings yet, or goes on with a load that was cut
 * short; a whole one is left alone, another bakery is refused. Returns the exit code. */
int demo_load(const struct settings *settings);

#endif
