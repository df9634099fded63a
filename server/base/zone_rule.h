/* The rule of a TZif footer: when the clock changes in the years after the last listed transition
 * (POSIX TZ string with the extensions of RFC 8536, section 3.3.1). Used by zone.c only.
 */
#ifndef MORROWLOAF_BASE_ZONE_RULE_H
#define MORROWLOAF_BASE_ZONE_RULE_H

#include "base/date.h"

#include <stdbool.h>
#include <stdint.h>

enum rule_day {
    RULE_JULIAN,   /* Jn: day 1 to 365, 29 February is never counted */
    RULE_ORDINAL,  /* n: day 0 to 365, 29 February counts */
    RULE_MONTH_DAY /* Mm.w.d: the w-th weekday d of month m, the last when w is 5 */
};

struct rule_change {
    enum rule_day kind;
    int month, week;
    int day;      /* of the year, or of the week (0 Sunday) */
    int32_t time; /* seconds after midnight of that day, by the clock before the change */
};

struct zone_rule {
    int32_t standard; /* seconds east of UTC */
    int32_t summer;
    bool changes; /* whether there is summer time at all */
    struct rule_change start, end;
};

/* A stretch of time with one offset: from begin, until just before end. */
struct zone_span {
    instant begin, end;
    int32_t offset;
};

/* Reads a whole footer such as "GMT0BST,M3.5.0/1,M10.5.0". Summer time without dates is refused:
 * nothing says when it would be. */
bool zone_rule_parse(const char *text, struct zone_rule *rule);

/* The span that holds this instant. */
struct zone_span zone_rule_span(const struct zone_rule *rule, instant at);

#endif
