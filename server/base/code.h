/* Codes: the short lower-case names that the user gives to things, [a-z0-9][a-z0-9-]{0,62}. */
#ifndef MORROWLOAF_BASE_CODE_H
#define MORROWLOAF_BASE_CODE_H

#include <stdbool.h>

enum { CODE_MAX = 63 };

bool code_valid(const char *text);

#endif
