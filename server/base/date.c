/* Calendar dates and clock times, and their text.
 *
 * The conversion counts in years that begin on 1 March, so that the leap day is the last of its
 * year, and in eras of 400 years, which all have 146,097 days.
 */
#include "base/date.h"

#include <string.h>
#include <time.h>

enum {
    DAYS_PER_ERA = 146097,
    DAYS_TO_1970 = 719468, /* from 0000-03-01 to 1970-01-01 */
    FIRST_YEAR = 1900,
    LAST_YEAR = 9999
};

/* Division that rounds down, also below zero. */
static int64_t floor_div(int64_t a, int64_t b)
{
    return a / b - (a % b < 0);
}

date date_from_civil(int year, int month, int day)
{
    int64_t shifted = (int64_t)year - (month <= 2);
    int64_t era = floor_div(shifted, 400);
    int64_t year_of_era = shifted - era * 400;
    int64_t day_of_year = (153 * (month + (month > 2 ? -3 : 9)) + 2) / 5 + day - 1;
    int64_t day_of_era = year_of_era * 365 + year_of_era / 4 - year_of_era / 100 + day_of_year;
    return (date)(era * DAYS_PER_ERA + day_of_era - DAYS_TO_1970);
}

void date_to_civil(date d, int *year, int *month, int *day)
{
    int64_t days = (int64_t)d + DAYS_TO_1970;
    int64_t era = floor_div(days, DAYS_PER_ERA);
    int64_t day_of_era = days - era * DAYS_PER_ERA;
    int64_t year_of_era = (day_of_era - day_of_era / 1460 + day_of_era / 36524 -
                           day_of_era / (DAYS_PER_ERA - 1)) /
                          365;
    int64_t day_of_year = day_of_era - (365 * year_of_era + year_of_era / 4 - year_of_era / 100);
    int64_t shifted_month = (5 * day_of_year + 2) / 153; /* 0 March ... 11 February */
    *day = (int)(day_of_year - (153 * shifted_month + 2) / 5 + 1);
    *month = (int)(shifted_month + (shifted_month < 10 ? 3 : -9));
    *year = (int)(year_of_era + era * 400 + (*month <= 2));
}

int date_weekday(date d)
{
    int64_t days = (int64_t)d + 3; /* 1970-01-01 was a Thursday */
    return (int)(days - floor_div(days, 7) * 7) + 1;
}

/* --- text --- */

/* Reads exactly count digits; -1 when there are other characters. */
static int read_digits(const char *text, int count)
{
    int value = 0;
    for (int i = 0; i < count; i++) {
        if (text[i] < '0' || text[i] > '9') return -1;
        value = value * 10 + (text[i] - '0');
    }
    return value;
}

static char *write_digits(char *out, int value, int count)
{
    for (int i = count; i-- > 0; value /= 10)
        out[i] = (char)('0' + value % 10);
    return out + count;
}

bool date_parse(const char *text, date *out)
{
    if (strlen(text) != DATE_TEXT_SIZE - 1 || text[4] != '-' || text[7] != '-') return false;
    int year = read_digits(text, 4);
    int month = read_digits(text + 5, 2);
    int day = read_digits(text + 8, 2);
    if (year < FIRST_YEAR || month < 1 || month > 12 || day < 1 || day > 31) return false;

    date d = date_from_civil(year, month, day);
    int real_year, real_month, real_day;
    date_to_civil(d, &real_year, &real_month, &real_day);
    if (real_month != month) return false; /* 31 April is 1 May */
    *out = d;
    return true;
}

/* A date outside of the calendar cannot come from date_parse(); its year is held to four digits so
 * that nothing is ever written past the end. */
void date_print(char out[DATE_TEXT_SIZE], date d)
{
    int year, month, day;
    date_to_civil(d, &year, &month, &day);
    if (year < 0) year = 0;
    if (year > LAST_YEAR) year = LAST_YEAR;
    char *at = write_digits(out, year, 4);
    *at++ = '-';
    at = write_digits(at, month, 2);
    *at++ = '-';
    at = write_digits(at, day, 2);
    *at = '\0';
}

bool clock_parse(const char *text, int *minutes)
{
    if (strlen(text) != CLOCK_TEXT_SIZE - 1 || text[2] != ':') return false;
    int hour = read_digits(text, 2);
    int minute = read_digits(text + 3, 2);
    if (hour < 0 || hour > 23 || minute < 0 || minute > 59) return false;
    *minutes = hour * 60 + minute;
    return true;
}

void clock_print(char out[CLOCK_TEXT_SIZE], int minutes)
{
    int of_day = (int)(minutes - floor_div(minutes, MINUTES_PER_DAY) * MINUTES_PER_DAY);
    char *at = write_digits(out, of_day / 60, 2);
    *at++ = ':';
    at = write_digits(at, of_day % 60, 2);
    *at = '\0';
}

/* The wall clock is printed by the offset as it is written, so that the text names the exact
 * instant even where an old local time was not a whole number of minutes from UTC. */
void instant_print(char out[INSTANT_TEXT_SIZE], instant at, int32_t offset)
{
    int offset_minutes = offset / 60;
    int64_t local = at + (int64_t)offset_minutes * 60;
    int64_t day = floor_div(local, SECONDS_PER_DAY);
    int second_of_day = (int)(local - day * SECONDS_PER_DAY);
    int distance = offset_minutes < 0 ? -offset_minutes : offset_minutes;

    date_print(out, (date)day);
    out[10] = 'T';
    clock_print(out + 11, second_of_day / 60);
    out[16] = ':';
    write_digits(out + 17, second_of_day % 60, 2);
    out[19] = offset_minutes < 0 ? '-' : '+';
    clock_print(out + 20, distance);
}

/* "Z", "+01:00" or "-03:30" at the end of a text, in seconds east of UTC. */
static bool offset_parse(const char *text, int *seconds)
{
    int minutes;
    *seconds = 0;
    if (strcmp(text, "Z") == 0 || strcmp(text, "z") == 0) return true;
    if ((text[0] != '+' && text[0] != '-') || !clock_parse(text + 1, &minutes)) return false;
    *seconds = (text[0] == '-' ? -60 : 60) * minutes;
    return true;
}

bool instant_parse(const char *text, instant *out)
{
    enum { T = 10, CLOCK = 11, SECONDS = 16, REST = 19 };
    char day_text[DATE_TEXT_SIZE] = {0}, clock_text[CLOCK_TEXT_SIZE] = {0};
    date day;
    int minutes, seconds, offset;
    if (strlen(text) <= REST || (text[T] != 'T' && text[T] != 't') || text[SECONDS] != ':')
        return false;
    memcpy(day_text, text, T);
    memcpy(clock_text, text + CLOCK, CLOCK_TEXT_SIZE - 1);
    seconds = read_digits(text + SECONDS + 1, 2);
    if (!date_parse(day_text, &day) || !clock_parse(clock_text, &minutes) || seconds < 0 ||
        seconds > 60)
        return false;
    text += REST;
    if (*text == '.') {
        size_t digits = strspn(text + 1, "0123456789");
        if (digits == 0) return false;
        text += 1 + digits;
    }
    if (!offset_parse(text, &offset)) return false;
    *out = (instant)day * SECONDS_PER_DAY + (instant)minutes * 60 + seconds - offset;
    return true;
}

instant instant_now(void)
{
    struct timespec now = {0};
    clock_gettime(CLOCK_REALTIME, &now);
    return now.tv_sec;
}
