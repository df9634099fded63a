/* The rule of a TZif footer: every form of day, signed times and times beyond a day. */
#include "base/zone_rule.h"

#include <criterion/criterion.h>

TestSuite(zone_rule, .timeout = 20);

/* When the offset goes from before to after. The values are from Python 3.11's zoneinfo, reading a
 * file with that footer; those of "59,299/3:30" from the GNU C library 2.36 with TZ set to it,
 * since that Python takes the days of the form n for one less. */
static const struct {
    const char *footer;
    instant at;
    int32_t before, after;
} changes[] = {
    {"GMT0BST,M3.5.0/1,M10.5.0", 2342653200, 0, 3600},                  /* 2044-03-27T01:00:00Z */
    {"GMT0BST,M3.5.0/1,M10.5.0", 2361402000, 3600, 0},                  /* 2044-10-30T01:00:00Z */
    {"GMT0BST,M3.5.0/1,M10.5.0", 2374102800, 0, 3600},                  /* 2045-03-26T01:00:00Z */
    {"GMT0BST,M3.5.0/1,M10.5.0", 2392851600, 3600, 0},                  /* 2045-10-29T01:00:00Z */
    {"EST5EDT,M3.2.0,M11.1.0", 2341465200, -18000, -14400},             /* 2044-03-13T07:00:00Z */
    {"EST5EDT,M3.2.0,M11.1.0", 2362024800, -14400, -18000},             /* 2044-11-06T06:00:00Z */
    {"EET-2EEST,M3.4.4/50,M10.4.4/50", 2342563200, 7200, 10800},        /* 2044-03-26T00:00:00Z */
    {"EET-2EEST,M3.4.4/50,M10.4.4/50", 2361308400, 10800, 7200},        /* 2044-10-28T23:00:00Z */
    {"EET-2EEST,M3.4.4/50,M10.4.4/50", 2374012800, 7200, 10800},        /* 2045-03-25T00:00:00Z */
    {"<-02>2<-01>,M3.5.0/-1,M10.5.0/0", 2342653200, -7200, -3600},      /* 2044-03-27T01:00:00Z */
    {"<-02>2<-01>,M3.5.0/-1,M10.5.0/0", 2361402000, -3600, -7200},      /* 2044-10-30T01:00:00Z */
    {"IST-1GMT0,M10.5.0,M3.5.0/1", 2342653200, 0, 3600},                /* 2044-03-27T01:00:00Z */
    {"IST-1GMT0,M10.5.0,M3.5.0/1", 2361402000, 3600, 0},                /* 2044-10-30T01:00:00Z */
    {"AEST-10AEDT,M10.1.0,M4.1.0/3", 2343225600, 39600, 36000},         /* 2044-04-02T16:00:00Z */
    {"AEST-10AEDT,M10.1.0,M4.1.0/3", 2358950400, 36000, 39600},         /* 2044-10-01T16:00:00Z */
    {"AEST-10AEDT,M10.1.0,M4.1.0/3", 2374675200, 39600, 36000},         /* 2045-04-01T16:00:00Z */
    {"EST5EDT,J60/2,J300", 2340428400, -18000, -14400},                 /* 2044-03-01T07:00:00Z */
    {"EST5EDT,J60/2,J300", 2361160800, -14400, -18000},                 /* 2044-10-27T06:00:00Z */
    {"EST5EDT,J60/2,J300", 2371964400, -18000, -14400},                 /* 2045-03-01T07:00:00Z */
    {"EST5EDT,J60/2,J300", 2392696800, -14400, -18000},                 /* 2045-10-27T06:00:00Z */
    {"EST5EDT,59,299/3:30", 2340342000, -18000, -14400},                /* 2044-02-29T07:00:00Z */
    {"EST5EDT,59,299/3:30", 2361079800, -14400, -18000},                /* 2044-10-26T07:30:00Z */
    {"EST5EDT,59,299/3:30", 2371964400, -18000, -14400},                /* 2045-03-01T07:00:00Z */
    {"EST5EDT,59,299/3:30", 2392702200, -14400, -18000},                /* 2045-10-27T07:30:00Z */
    {"<+1030>-10:30<+11>-11,M10.1.0,M4.1.0", 2343222000, 39600, 37800}, /* 2044-04-02T15:00Z */
    {"<+1030>-10:30<+11>-11,M10.1.0,M4.1.0", 2358948600, 37800, 39600}, /* 2044-10-01T15:30Z */
};

Test(zone_rule, changes_at_the_second)
{
    for (size_t i = 0; i < sizeof changes / sizeof changes[0]; i++) {
        struct zone_rule rule;
        cr_assert(zone_rule_parse(changes[i].footer, &rule), "%s", changes[i].footer);
        struct zone_span before = zone_rule_span(&rule, changes[i].at - 1);
        struct zone_span after = zone_rule_span(&rule, changes[i].at);
        cr_assert_eq(before.offset, changes[i].before, "%s, row %zu", changes[i].footer, i);
        cr_assert_eq(after.offset, changes[i].after, "%s, row %zu", changes[i].footer, i);
        cr_assert_eq(before.end, changes[i].at);
        cr_assert_eq(after.begin, changes[i].at);
    }
}

Test(zone_rule, no_summer_time)
{
    struct zone_rule rule;
    cr_assert(zone_rule_parse("XXX3:30:15", &rule));
    struct zone_span span = zone_rule_span(&rule, 2342653200);
    cr_assert_eq(span.offset, -12615);
    cr_assert_eq(span.begin, INT64_MIN);
    cr_assert_eq(span.end, INT64_MAX);
    cr_assert(zone_rule_parse("<+0330>-3:30", &rule));
    cr_assert_eq(zone_rule_span(&rule, 0).offset, 12600);
}

/* RFC 8536, section 3.3.1: summer time all the year is written with an end that falls together with
 * the next start. */
Test(zone_rule, summer_time_all_the_year)
{
    struct zone_rule rule;
    cr_assert(zone_rule_parse("EST5EDT,0/0,J365/25", &rule));
    instant first = (instant)date_from_civil(2043, 12, 1) * SECONDS_PER_DAY;
    for (int hour = 0; hour < 3 * 366 * 24; hour++) {
        instant at = first + (instant)hour * 3600;
        cr_assert_eq(zone_rule_span(&rule, at).offset, -14400, "hour %d", hour);
    }
}

/* A change written for the first days of January with a time a week before midnight happens in the
 * year before. */
Test(zone_rule, times_of_a_week_reach_into_the_neighbouring_year)
{
    struct zone_rule rule;
    cr_assert(zone_rule_parse("AAA0BBB,J1/-167,J180", &rule));
    instant change = (instant)date_from_civil(2044, 1, 1) * SECONDS_PER_DAY - 167 * 3600;
    cr_assert_eq(zone_rule_span(&rule, change - 1).offset, 0);
    cr_assert_eq(zone_rule_span(&rule, change).offset, 3600);
    cr_assert_eq(zone_rule_span(&rule, change - 1).end, change);
    cr_assert(zone_rule_parse("AAA0BBB,J100,J365/167", &rule));
    change = (instant)date_from_civil(2043, 12, 31) * SECONDS_PER_DAY + 166 * 3600;
    cr_assert_eq(zone_rule_span(&rule, change - 1).offset, 3600);
    cr_assert_eq(zone_rule_span(&rule, change).offset, 0);
}

/* Both changes of a year may fall in the year after: what holds on New Year's Day was then begun
 * two years before. */
Test(zone_rule, both_changes_may_reach_over)
{
    struct zone_rule rule;
    cr_assert(zone_rule_parse("AAA0BBB,J364/167,J360/167", &rule));
    instant year = (instant)date_from_civil(2044, 1, 1) * SECONDS_PER_DAY;
    cr_assert_eq(zone_rule_span(&rule, year + 12 * 3600).offset, 3600);
    cr_assert_eq(zone_rule_span(&rule, year + 22 * 3600).offset, 0);
    cr_assert_eq(zone_rule_span(&rule, year + 6 * SECONDS_PER_DAY).offset, 3600);
}

Test(zone_rule, refuses_what_is_no_rule)
{
    static const char *const bad[] = {"",
                                      "GMT",
                                      "GM0",
                                      "GMT25",
                                      "GMT0 ",
                                      "<GMT0",
                                      "<>0",
                                      "GMT0:60",
                                      "GMT0BST",
                                      "GMT0BST,",
                                      "GMT0BST,M3.5.0",
                                      "GMT0BST,M3.5.0,",
                                      "GMT0BST,M3.5.0/1,M10.5.0x",
                                      "GMT0BST,M0.5.0,M10.5.0",
                                      "GMT0BST,M13.5.0,M10.5.0",
                                      "GMT0BST,M3.0.0,M10.5.0",
                                      "GMT0BST,M3.6.0,M10.5.0",
                                      "GMT0BST,M3.5.7,M10.5.0",
                                      "GMT0BST,M3.5,M10.5.0",
                                      "GMT0BST,J0,J300",
                                      "GMT0BST,J366,J300",
                                      "GMT0BST,366,300",
                                      "GMT0BST,M3.5.0/168,M10.5.0",
                                      "GMT0BST,M3.5.0/,M10.5.0",
                                      "GMT99999999999999999999",
                                      "GMT0BST,J99999999999999999999,J1"};
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        struct zone_rule rule;
        cr_assert_not(zone_rule_parse(bad[i], &rule), "\"%s\"", bad[i]);
    }
}
