/* Time zones: published changes of the clock (tests/sources/09_dst.csv), years beyond the listed
 * transitions against Python, the forms of rule, and files that are no zones.
 */
#include "base/zone.h"
#include "base/arena.h"
#include "base/zone_rule.h"

#include <criterion/criterion.h>

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

TestSuite(zone, .timeout = 20);

static struct arena *arena;

static void begin(void)
{
    unsetenv("TZDIR");
    arena = arena_new(0);
}

static void end(void)
{
    arena_free(arena);
}

static const struct zone *load(const char *name)
{
    const struct zone *zone = zone_load(arena, name);
    cr_assert_not_null(zone, "no zone %s", name);
    return zone;
}

/* The instant of "2027-03-27T21:00" in a zone. */
static instant at_wall(const struct zone *zone, const char *text)
{
    char day_text[DATE_TEXT_SIZE] = "";
    date day = 0;
    int minutes = 0;
    cr_assert_eq(strlen(text), 16u, "%s", text);
    memcpy(day_text, text, 10);
    cr_assert(date_parse(day_text, &day), "%s", text);
    cr_assert(clock_parse(text + 11, &minutes), "%s", text);
    return zone_instant(zone, day, minutes);
}

static void shows(const struct zone *zone, instant at, const char *expected)
{
    char text[INSTANT_TEXT_SIZE];
    instant_print(text, at, zone_offset(zone, at));
    cr_assert_str_eq(text, expected);
}

/* --- the published rows --- */

enum { FIELDS = 4 };

struct row {
    char fields[FIELDS][128]; /* case, zone, local_start, operation */
    char expected[128];
};

/* Takes one field of a line of CSV, with or without quotes. */
static const char *take_field(const char *at, char *out, size_t size)
{
    bool quoted = *at == '"';
    size_t length = 0;
    for (at += quoted; *at != '\0' && *at != '\n'; at++) {
        if (quoted ? *at == '"' : *at == ',') break;
        if (length + 1 < size) out[length++] = *at;
    }
    out[length] = '\0';
    if (quoted && *at == '"') at++;
    return *at == ',' ? at + 1 : at;
}

static bool next_row(FILE *file, struct row *row)
{
    char line[1024];
    if (fgets(line, sizeof line, file) == NULL) return false;
    const char *at = line;
    for (int i = 0; i < FIELDS; i++)
        at = take_field(at, row->fields[i], sizeof row->fields[i]);
    take_field(at, row->expected, sizeof row->expected);
    return true;
}

static FILE *open_rows(void)
{
    FILE *file = fopen(MORROWLOAF_SOURCE "/tests/sources/09_dst.csv", "r");
    cr_assert_not_null(file);
    return file;
}

static struct row find_row(const char *name)
{
    FILE *file = open_rows();
    struct row row;
    bool found = false;
    while (!found && next_row(file, &row))
        found = strcmp(row.fields[0], name) == 0;
    fclose(file);
    cr_assert(found, "no row %s", name);
    return row;
}

Test(zone, twelve_hours_from_the_evening_before_a_change, .init = begin, .fini = end)
{
    FILE *file = open_rows();
    struct row row;
    int checked = 0;
    while (next_row(file, &row)) {
        if (strncmp(row.fields[0], "proof-", 6) != 0) continue;
        char *rest;
        long hours = strtol(row.fields[3], &rest, 10); /* "+12 h elapsed" */
        cr_assert_str_eq(rest, " h elapsed");
        const struct zone *zone = load(row.fields[1]);
        instant end_at = at_wall(zone, row.fields[2]) + hours * 3600;
        char text[INSTANT_TEXT_SIZE];
        instant_print(text, end_at, zone_offset(zone, end_at));
        memmove(text + 16, text + 19, 7); /* the row has no seconds */
        cr_assert_str_eq(text, row.expected, "%s", row.fields[0]);
        checked++;
    }
    fclose(file);
    cr_assert_eq(checked, 4);
}

Test(zone, a_night_of_eleven_hours, .init = begin, .fini = end)
{
    struct row row = find_row("wall-london-spring");
    cr_assert_str_eq(row.fields[3], "until 09:00 next day");
    const struct zone *zone = load(row.fields[1]);
    instant elapsed = at_wall(zone, "2027-03-28T09:00") - at_wall(zone, row.fields[2]);
    cr_assert_eq(elapsed, strtol(row.expected, NULL, 10) * 3600);
    cr_assert_eq(elapsed, 11 * 3600);
}

Test(zone, a_time_that_the_clock_skips, .init = begin, .fini = end)
{
    struct row row = find_row("gap-london");
    cr_assert_str_eq(row.expected, "01:00 jumps to 02:00");
    const struct zone *zone = load(row.fields[1]);
    shows(zone, at_wall(zone, row.fields[2]), "2027-03-28T02:30:00+01:00");
    shows(zone, at_wall(zone, "2027-03-28T00:59"), "2027-03-28T00:59:00+00:00");
    shows(zone, at_wall(zone, "2027-03-28T01:00"), "2027-03-28T02:00:00+01:00");
    shows(zone, at_wall(zone, "2027-03-28T01:59"), "2027-03-28T02:59:00+01:00");
    shows(zone, at_wall(zone, "2027-03-28T02:00"), "2027-03-28T02:00:00+01:00");
}

Test(zone, a_time_that_comes_twice_is_the_first, .init = begin, .fini = end)
{
    struct row row = find_row("fold-london");
    cr_assert_str_eq(row.expected, "00:30Z (BST) and 01:30Z (GMT)");
    const struct zone *zone = load(row.fields[1]);
    instant first = at_wall(zone, row.fields[2]);
    shows(zone, first, "2027-10-31T01:30:00+01:00");
    shows(zone, first + 3600, "2027-10-31T01:30:00+00:00");
    shows(zone, at_wall(zone, "2027-10-31T01:00"), "2027-10-31T01:00:00+01:00");
    shows(zone, at_wall(zone, "2027-10-31T01:59"), "2027-10-31T01:59:00+01:00");
    shows(zone, at_wall(zone, "2027-10-31T02:00"), "2027-10-31T02:00:00+00:00");
    date day;
    int minutes;
    zone_wall(zone, first + 3600 + 59, &day, &minutes);
    cr_assert_eq(minutes, 90);
    cr_assert_eq(day, date_from_civil(2027, 10, 31));
}

/* The days on which the clock changes at that second of UTC (spring, then autumn, by turns) are
 * those of the row, and the offset changes nowhere else in the two years. */
static void changes_are(const char *row_name, const int utc_hours[2])
{
    struct row row = find_row(row_name);
    const struct zone *zone = load(row.fields[1]);
    char found[128] = "";
    instant at = (instant)date_from_civil(2026, 1, 1) * SECONDS_PER_DAY;
    instant last = (instant)date_from_civil(2028, 1, 1) * SECONDS_PER_DAY;
    int changes = 0;
    for (; at < last; at += 3600) {
        if (zone_offset(zone, at) == zone_offset(zone, at - 1)) {
            cr_assert_eq(zone_offset(zone, at), zone_offset(zone, at + 3599));
            continue;
        }
        char day[DATE_TEXT_SIZE];
        date_print(day, (date)(at / SECONDS_PER_DAY));
        cr_assert_eq(at % SECONDS_PER_DAY, utc_hours[changes % 2] * 3600, "%s", day);
        if (changes++ > 0) strcat(found, ", ");
        strcat(found, day);
    }
    cr_assert_str_eq(found, row.expected);
}

Test(zone, days_of_change_in_britain, .init = begin, .fini = end)
{
    changes_are("uk-dates", (const int[2]){1, 1});
}

Test(zone, days_of_change_in_the_united_states, .init = begin, .fini = end)
{
    changes_are("us-dates", (const int[2]){7, 6}); /* 02:00 EST, 02:00 EDT */
}

/* --- far years and odd clocks --- */

/* Python 3.11 zoneinfo with tzdata 2025b: the instant of a wall-clock time (fold 0) and the offset
 * in force then. */
static const struct {
    const char *name, *wall;
    instant at;
    int32_t offset;
} python[] = {
    {"Europe/London", "2050-07-01T12:00", INT64_C(2540286000), 3600},
    {"Europe/London", "2050-03-27T21:00", INT64_C(2532024000), 3600},
    {"Europe/London", "2050-01-15T12:00", INT64_C(2525860800), 0},
    {"Europe/London", "2400-10-29T01:30", INT64_C(13595560200), 3600},
    {"Europe/London", "2400-10-29T02:30", INT64_C(13595567400), 0},
    {"America/New_York", "2061-03-13T02:30", INT64_C(2877924600), -14400},
    {"America/New_York", "2061-11-06T01:30", INT64_C(2898480600), -14400},
    {"Australia/Sydney", "2077-01-10T09:00", INT64_C(3377455200), 39600},
    {"Australia/Sydney", "2077-07-10T09:00", INT64_C(3393097200), 36000},
    {"Europe/Dublin", "2050-07-01T12:00", INT64_C(2540286000), 3600},
    {"Europe/Dublin", "2050-12-01T12:00", INT64_C(2553508800), 0},
    {"Asia/Kolkata", "2099-05-05T05:30", INT64_C(4081622400), 19800},
    {"Europe/Berlin", "9999-12-31T23:59", INT64_C(253402297140), 3600},
    {"Europe/London", "1900-01-01T00:00", INT64_C(-2208988800), 0},
    {"Europe/Paris", "1900-01-01T00:00", INT64_C(-2208989361), 561},
    {"Europe/Berlin", "1945-05-24T02:30", INT64_C(-776561400), 10800},
    {"Europe/London", "1941-05-04T01:30", INT64_C(-904519800), 3600},
    {"Africa/Lagos", "2027-05-05T05:05", INT64_C(1809489900), 3600},
    {"Australia/Lord_Howe", "2050-10-02T02:15", INT64_C(2548251900), 39600},
    {"Asia/Kathmandu", "1985-06-01T00:00", INT64_C(486412200), 19800},
};

Test(zone, agrees_with_python, .init = begin, .fini = end)
{
    for (size_t i = 0; i < sizeof python / sizeof python[0]; i++) {
        const struct zone *zone = load(python[i].name);
        instant at = at_wall(zone, python[i].wall);
        cr_assert_eq(at, python[i].at, "%s %s: %lld", python[i].name, python[i].wall,
                     (long long)at);
        cr_assert_eq(zone_offset(zone, at), python[i].offset, "%s %s", python[i].name,
                     python[i].wall);
    }
}

/* Every wall-clock minute that the clock shows leads to an instant that shows it again. */
Test(zone, wall_and_instant_are_inverse, .init = begin, .fini = end)
{
    static const char *const names[] = {"Europe/London", "America/New_York", "Australia/Lord_Howe",
                                        "America/St_Johns"};
    for (size_t i = 0; i < sizeof names / sizeof names[0]; i++) {
        const struct zone *zone = load(names[i]);
        instant at = (instant)date_from_civil(2037, 9, 1) * SECONDS_PER_DAY;
        for (int step = 0; step < 40000; step++, at += 15 * 60) {
            date day;
            int minutes;
            zone_wall(zone, at, &day, &minutes);
            instant back = zone_instant(zone, day, minutes);
            int32_t earlier = zone_offset(zone, back) - zone_offset(zone, at);
            cr_assert(back == at || (back < at && at - back == earlier), "%s at %lld", names[i],
                      (long long)at);
        }
    }
}

Test(zone, a_fixed_zone_never_changes, .init = begin, .fini = end)
{
    const struct zone *zone = zone_fixed(arena, -3 * 3600 - 1800);
    shows(zone, at_wall(zone, "2027-03-28T01:30"), "2027-03-28T01:30:00-03:30");
    shows(zone, at_wall(zone, "1900-01-01T00:00"), "1900-01-01T00:00:00-03:30");
    date day;
    int minutes;
    zone_wall(zone, -1, &day, &minutes);
    cr_assert_eq(day, -1);
    cr_assert_eq(minutes, 20 * 60 + 29);
}

/* --- names --- */

Test(zone, names_that_are_no_zones, .init = begin, .fini = end)
{
    static const char *const bad[] = {"",
                                      "Europe/Atlantis",
                                      "../../etc/passwd",
                                      "Europe/../Europe/London",
                                      "/usr/share/zoneinfo/Europe/London",
                                      "Europe//London",
                                      "Europe/London ",
                                      "europe/london",
                                      "Europe",
                                      "Europe/",
                                      "posix/Europe/London",
                                      "right/Europe/London",
                                      "tzdata.zi",
                                      "zone.tab",
                                      "Europe/London\n",
                                      "A/./B",
                                      "Z\xc3\xbcrich"};
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        cr_assert_null(zone_load(arena, bad[i]), "\"%s\"", bad[i]);
    }
    char name[5000];
    memset(name, 'A', sizeof name - 1);
    name[sizeof name - 1] = '\0';
    cr_assert_null(zone_load(arena, name));
    cr_assert_null(zone_load(arena, NULL));
    cr_assert_not(arena_failed(arena));
}

Test(zone, short_memory_is_no_zone)
{
    long n = 1;
    for (; n < 100; n++) {
        struct arena *small = arena_new(0);
        arena_fail_nth(n);
        const struct zone *zone = zone_load(small, "Europe/London");
        arena_fail_nth(0);
        bool failed = arena_failed(small);
        cr_assert_eq(zone == NULL, failed, "allocation %ld", n);
        arena_free(small);
        if (!failed) break;
    }
    cr_assert_gt(n, 4);
    cr_assert_lt(n, 100);
}
