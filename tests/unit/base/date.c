/* Dates, clock times and instants against days known from the calendar. */
#include "base/date.h"

#include <criterion/criterion.h>

#include <stdio.h>

TestSuite(date, .timeout = 20);

Test(date, known_days)
{
    cr_assert_eq(date_from_civil(1970, 1, 1), 0);
    cr_assert_eq(date_from_civil(1969, 12, 31), -1);
    cr_assert_eq(date_from_civil(2000, 2, 29), 11016);
    cr_assert_eq(date_from_civil(2000, 3, 1), 11017);
    cr_assert_eq(date_from_civil(1900, 1, 1), -25567);
    cr_assert_eq(date_from_civil(9999, 12, 31), 2932896);
    cr_assert_eq(date_weekday(date_from_civil(2026, 11, 24)), 2, "a Tuesday");
    cr_assert_eq(date_weekday(date_from_civil(1900, 1, 1)), 1, "a Monday");
    cr_assert_eq(date_weekday(date_from_civil(2027, 3, 28)), 7, "a Sunday");
}

/* Counts the calendar through, day by day, with nothing but the rule of leap years. */
Test(date, the_whole_calendar_day_by_day)
{
    static const int lengths[] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    date d = -25567;
    int weekday = 1;
    for (int year = 1900; year <= 9999; year++) {
        bool leap = (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
        for (int month = 1; month <= 12; month++) {
            int length = lengths[month - 1] + (month == 2 && leap);
            for (int day = 1; day <= length; day++, d++, weekday = weekday % 7 + 1) {
                int y, m, n;
                date_to_civil(d, &y, &m, &n);
                if (y != year || m != month || n != day)
                    cr_assert(false, "day %d: %d-%d-%d", d, y, m, n);
                if (date_from_civil(year, month, day) != d)
                    cr_assert(false, "%d-%d-%d", year, month, day);
                if (date_weekday(d) != weekday)
                    cr_assert(false, "weekday of %d-%d-%d", year, month, day);
            }
        }
    }
    cr_assert_eq(d, 2932897);
}

Test(date, text_there_and_back)
{
    static const char *const days[] = {"1900-01-01", "2024-02-29", "2026-11-24", "9999-12-31"};
    for (size_t i = 0; i < sizeof days / sizeof days[0]; i++) {
        date d = 1;
        char text[DATE_TEXT_SIZE];
        cr_assert(date_parse(days[i], &d), "%s", days[i]);
        date_print(text, d);
        cr_assert_str_eq(text, days[i]);
    }
}

Test(date, refuses_what_is_no_day)
{
    static const char *const bad[] = {
        "",           "2026-02-29", "2100-02-29",  "2026-04-31",  "2026-13-01",      "2026-00-10",
        "2026-01-00", "2026-01-32", "1899-12-31",  "0000-00-00",  "2026-1-1",        "2026-01-1",
        "26-01-01",   "2026/01/01", "2026-01-01 ", " 026-01-01",  "+026-01-01",      "2026-01-0a",
        "tomorrow",   "infinity",   "2026-W01-1",  "10000-01-01", "2026-01-01T00:00"};
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        date d = 4711;
        cr_assert_not(date_parse(bad[i], &d), "%s", bad[i]);
        cr_assert_eq(d, 4711, "%s left the date alone", bad[i]);
    }
}

Test(date, printing_never_overflows)
{
    char text[DATE_TEXT_SIZE];
    date_print(text, INT32_MAX);
    cr_assert_eq(text[DATE_TEXT_SIZE - 1], '\0');
    cr_assert_eq(text[4], '-');
    date_print(text, INT32_MIN);
    cr_assert_eq(text[DATE_TEXT_SIZE - 1], '\0');
}

Test(date, clock_times)
{
    for (int minutes = 0; minutes < MINUTES_PER_DAY; minutes++) {
        char text[CLOCK_TEXT_SIZE];
        char expected[16];
        int back = -5;
        snprintf(expected, sizeof expected, "%02d:%02d", minutes / 60, minutes % 60);
        clock_print(text, minutes);
        cr_assert_str_eq(text, expected);
        cr_assert(clock_parse(text, &back));
        cr_assert_eq(back, minutes);
    }
}

Test(date, refuses_what_is_no_clock_time)
{
    static const char *const bad[] = {"",       "24:00", "23:60",    "6:30",  "06:3",  "06.30",
                                      "06:30 ", "0630",  "06:30:00", "-1:30", "aa:bb", "+6:30"};
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        int minutes = 4711;
        cr_assert_not(clock_parse(bad[i], &minutes), "%s", bad[i]);
        cr_assert_eq(minutes, 4711);
    }
}

Test(date, instants)
{
    char text[INSTANT_TEXT_SIZE];
    instant_print(text, 0, 0);
    cr_assert_str_eq(text, "1970-01-01T00:00:00+00:00");
    instant_print(text, -1, 3600);
    cr_assert_str_eq(text, "1970-01-01T00:59:59+01:00");
    instant_print(text, 1806271200, -5 * 3600);
    cr_assert_str_eq(text, "2027-03-28T17:00:00-05:00");
    instant_print(text, 0, -(3 * 3600 + 30 * 60));
    cr_assert_str_eq(text, "1969-12-31T20:30:00-03:30");
    /* An offset with seconds: the text still names the instant. */
    instant_print(text, -2208989361, 561);
    cr_assert_str_eq(text, "1899-12-31T23:59:39+00:09");
    instant_print(text, 0, -75);
    cr_assert_str_eq(text, "1969-12-31T23:59:00-00:01");
}

Test(date, now_is_after_this_was_written)
{
    cr_assert_gt(instant_now(), INT64_C(1750000000));
    cr_assert_lt(instant_now(), INT64_C(253402300800));
}

Test(date, the_ends_of_the_calendar)
{
    char text[DATE_TEXT_SIZE];
    date_print(text, DATE_FIRST);
    cr_expect_str_eq(text, "1900-01-01");
    date_print(text, DATE_LAST);
    cr_expect_str_eq(text, "9999-12-31");
}
