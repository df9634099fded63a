/* One line per event on standard error.
 *
 * A line is made whole in a buffer of its own and written by a single write(), so that lines of
 * several threads never mix. Control characters, which could forge a second line, become spaces; a
 * line too long is cut and ends in "...". errno is left as it was.
 */
#include "base/log.h"

#include "base/date.h"

#include <errno.h>
#include <stdarg.h>
#include <stdatomic.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

enum { LINE_SIZE = 2048 };

static atomic_int level_now = LOG_INFO;

void log_set_level(enum log_level level)
{
    atomic_store(&level_now, (int)level);
}

/* The time and the level; returns the length. */
static size_t begin_line(char *line, enum log_level level)
{
    static const char *const words[] = {
        [LOG_QUIET] = "", [LOG_ERROR] = "error", [LOG_WARNING] = "warning", [LOG_INFO] = "info"};
    char time[INSTANT_TEXT_SIZE];
    instant_print(time, instant_now(), 0);
    return (size_t)snprintf(line, LINE_SIZE, "%s %s ", time, words[level]);
}

static void tidy(char *text)
{
    for (; *text != '\0'; text++) {
        if ((unsigned char)*text < 0x20 || *text == 0x7f) *text = ' ';
    }
}

/* Writes all of it, as far as standard error takes it: there is nowhere to report a failure to. */
static void write_line(const char *line, size_t length)
{
    while (length > 0) {
        ssize_t written = write(STDERR_FILENO, line, length);
        if (written < 0 && errno == EINTR) continue;
        if (written <= 0) return;
        line += written;
        length -= (size_t)written;
    }
}

static void log_line(enum log_level level, const char *format, va_list args)
{
    if ((int)level > atomic_load(&level_now)) return;
    int errno_before = errno;
    char line[LINE_SIZE + 1]; /* and the newline */
    size_t length = begin_line(line, level);
    errno = errno_before; /* for %m */
    int words = vsnprintf(line + length, LINE_SIZE - length, format, args);
    if (words < 0) words = snprintf(line + length, LINE_SIZE - length, "(unprintable: %s)", format);
    if ((size_t)words >= LINE_SIZE - length) {
        memcpy(line + LINE_SIZE - 4, "...", 4);
        words = (int)(LINE_SIZE - 1 - length);
    }
    tidy(line);
    length += (size_t)words;
    line[length++] = '\n';
    write_line(line, length);
    errno = errno_before;
}

void log_error(const char *format, ...)
{
    va_list args;
    va_start(args, format);
    log_line(LOG_ERROR, format, args);
    va_end(args);
}

void log_warning(const char *format, ...)
{
    va_list args;
    va_start(args, format);
    log_line(LOG_WARNING, format, args);
    va_end(args);
}

void log_info(const char *format, ...)
{
    va_list args;
    va_start(args, format);
    log_line(LOG_INFO, format, args);
    va_end(args);
}
