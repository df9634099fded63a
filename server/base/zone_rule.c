/* The rule of a TZif footer. The reader is a cursor that moves over the text; each reading function
 * returns false at the first character that does not fit. */
#include "base/zone_rule.h"

enum {
    SECONDS_PER_HOUR = 3600,
    OFFSET_HOURS_MAX = 24,
    TIME_HOURS_MAX = 167, /* a week less an hour, either way (RFC 8536) */
    NAME_MIN = 3
};

/* --- reading --- */

static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

static bool is_letter(char c)
{
    return (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z');
}

static bool take(const char **at, char wanted)
{
    if (**at != wanted) return false;
    ++*at;
    return true;
}

static bool read_number(const char **at, int min, int max, int *out)
{
    if (!is_digit(**at)) return false;
    int value = 0;
    for (; is_digit(**at); ++*at) {
        value = value * 10 + (**at - '0');
        if (value > max) return false;
    }
    *out = value;
    return value >= min;
}

/* "BST", or with other characters "<+0330>". The name itself is not used. */
static bool skip_name(const char **at)
{
    bool quoted = take(at, '<');
    int length = 0;
    while (is_letter(**at) || (quoted && (is_digit(**at) || **at == '+' || **at == '-'))) {
        ++*at;
        length++;
    }
    return length >= NAME_MIN && (!quoted || take(at, '>'));
}

/* [+-]hh[:mm[:ss]] in seconds. */
static bool read_time(const char **at, int hours_max, int32_t *out)
{
    bool negative = take(at, '-');
    if (!negative) take(at, '+');
    int hours, minutes = 0, seconds = 0;
    if (!read_number(at, 0, hours_max, &hours)) return false;
    if (take(at, ':')) {
        if (!read_number(at, 0, 59, &minutes)) return false;
        if (take(at, ':') && !read_number(at, 0, 59, &seconds)) return false;
    }
    int32_t time = hours * SECONDS_PER_HOUR + minutes * 60 + seconds;
    *out = negative ? -time : time;
    return true;
}

/* The text counts west of Greenwich, we count east. */
static bool read_offset(const char **at, int32_t *east)
{
    int32_t west;
    if (!read_time(at, OFFSET_HOURS_MAX, &west)) return false;
    *east = -west;
    return true;
}

static bool read_month_day(const char **at, struct rule_change *change)
{
    return read_number(at, 1, 12, &change->month) && take(at, '.') &&
           read_number(at, 1, 5, &change->week) && take(at, '.') &&
           read_number(at, 0, 6, &change->day);
}

static bool read_change(const char **at, struct rule_change *change)
{
    *change = (struct rule_change){.time = 2 * SECONDS_PER_HOUR};
    bool good;
    if (take(at, 'M')) {
        change->kind = RULE_MONTH_DAY;
        good = read_month_day(at, change);
    } else if (take(at, 'J')) {
        change->kind = RULE_JULIAN;
        good = read_number(at, 1, 365, &change->day);
    } else {
        change->kind = RULE_ORDINAL;
        good = read_number(at, 0, 365, &change->day);
    }
    return good && (!take(at, '/') || read_time(at, TIME_HOURS_MAX, &change->time));
}

bool zone_rule_parse(const char *text, struct zone_rule *rule)
{
    *rule = (struct zone_rule){0};
    const char **at = &text;
    if (!skip_name(at) || !read_offset(at, &rule->standard)) return false;
    if (**at == '\0') return true;

    rule->changes = true;
    rule->summer = rule->standard + SECONDS_PER_HOUR;
    if (!skip_name(at)) return false;
    if (**at != ',' && !read_offset(at, &rule->summer)) return false;
    return take(at, ',') && read_change(at, &rule->start) && take(at, ',') &&
           read_change(at, &rule->end) && **at == '\0';
}

/* --- reckoning --- */

static bool is_leap(int year)
{
    return (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
}

static date month_day(const struct rule_change *change, int year)
{
    date first = date_from_civil(year, change->month, 1);
    int weekday = date_weekday(first) % 7; /* 0 Sunday */
    date day = first + (change->day - weekday + 7) % 7 + 7 * (change->week - 1);
    date next_month = change->month == 12 ? date_from_civil(year + 1, 1, 1)
                                          : date_from_civil(year, change->month + 1, 1);
    return day < next_month ? day : day - 7;
}

/* The change of that year, in seconds by the clock before it. */
static instant change_local(const struct rule_change *change, int year)
{
    date day = date_from_civil(year, 1, 1);
    switch (change->kind) {
    case RULE_MONTH_DAY:
        day = month_day(change, year);
        break;
    case RULE_JULIAN:
        day += change->day - 1 + (is_leap(year) && change->day >= 60);
        break;
    case RULE_ORDINAL:
        day += change->day;
        break;
    }
    return (instant)day * SECONDS_PER_DAY + change->time;
}

static void narrow(struct zone_span *span, instant at, instant change, int32_t offset)
{
    if (change <= at && change >= span->begin) {
        span->begin = change;
        span->offset = offset;
    } else if (change > at && change < span->end) {
        span->end = change;
    }
}

/* The changes of two years around are taken too: a time of day may be up to a week off, and so in
 * the year before or after. Where an end and the next start fall together (summer time all year),
 * the start, which comes later in the loop, wins. */
struct zone_span zone_rule_span(const struct zone_rule *rule, instant at)
{
    struct zone_span span = {.begin = INT64_MIN, .end = INT64_MAX, .offset = rule->standard};
    if (!rule->changes) return span;
    int year, month, day;
    date_to_civil((date)(at / SECONDS_PER_DAY), &year, &month, &day);
    for (int y = year - 2; y <= year + 2; y++) {
        instant start = change_local(&rule->start, y) - rule->standard;
        instant end = change_local(&rule->end, y) - rule->summer;
        bool start_first = start <= end;
        if (start_first) narrow(&span, at, start, rule->summer);
        narrow(&span, at, end, rule->standard);
        if (!start_first) narrow(&span, at, start, rule->summer);
    }
    return span;
}
