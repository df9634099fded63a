/* The commands that let people and programs in. Each returns the exit code: 0 done, 1 failed, 2
 * used wrongly. */
#ifndef MORROWLOAF_COMMANDS_H
#define MORROWLOAF_COMMANDS_H

struct settings;

enum { EXIT_DONE = 0, EXIT_FAILED = 1, EXIT_USAGE = 2 };

/* words: what follows the command's own name. */
int command_token(const struct settings *settings, int count, char *const words[]);
int command_user(const struct settings *settings, int count, char *const words[]);

#endif
