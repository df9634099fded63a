/* Calendar dates and clock times, and their text. Proleptic Gregorian, 1900-01-01 to 9999-12-31.
 *
 * A date is the number of days since 1970-01-01; a clock time is minutes since midnight; an instant
 * is seconds since 1970-01-01T00:00:00Z. No zone is known here (see zone.h).
 */
#ifndef MORROWLOAF_BASE_DATE_H
#define MORROWLOAF_BASE_DATE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

typedef int32_t date;    /* days since 1970-01-01 */
typedef int64_t instant; /* seconds since 1970-01-01T00:00:00Z */

enum {
    DAYS_PER_WEEK = 7,
    MINUTES_PER_DAY = 24 * 60,
    SECONDS_PER_DAY = 24 * 60 * 60,
    DATE_FIRST = -25567,   /* 1900-01-01 */
    DATE_LAST = 2932896,   /* 9999-12-31 */
    NO_DATE = INT32_MIN,   /* an unset date, where one is told apart from all others */
    NO_CLOCK = -1,         /* an unset clock time */
    DATE_TEXT_SIZE = 11,   /* "YYYY-MM-DD" and NUL */
    CLOCK_TEXT_SIZE = 6,   /* "HH:MM" and NUL */
    INSTANT_TEXT_SIZE = 26 /* "YYYY-MM-DDTHH:MM:SS+HH:MM" and NUL */
};

date date_from_civil(int year, int month, int day);
void date_to_civil(date d, int *year, int *month, int *day);
/* 1 Monday ... 7 Sunday (ISO 8601). */
int date_weekday(date d);

/* Exactly "YYYY-MM-DD" and a day that exists, within the calendar above; else false. */
bool date_parse(const char *text, date *out);
void date_print(char out[DATE_TEXT_SIZE], date d);

/* Exactly "HH:MM", 00:00 to 23:59; else false. */
bool clock_parse(const char *text, int *minutes);
void clock_print(char out[CLOCK_TEXT_SIZE], int minutes);

/* RFC 3339 with numeric offset; offset in seconds east of UTC, a whole number of minutes is
 * written. */
void instant_print(char out[INSTANT_TEXT_SIZE], instant at, int32_t offset);

/* RFC 3339 with "Z" or a numeric offset, seconds required, a fraction of a second dropped, a leap
 * second (":60") taken as the second after; else false. */
bool instant_parse(const char *text, instant *out);

/* The present moment. */
instant instant_now(void);

#endif
