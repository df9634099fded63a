/* One line per event on standard error: time, level, words. Safe from every thread. Never a body, a
 * password or a token. */
#ifndef MORROWLOAF_BASE_LOG_H
#define MORROWLOAF_BASE_LOG_H

enum log_level { LOG_QUIET, LOG_ERROR, LOG_WARNING, LOG_INFO };

void log_set_level(enum log_level level);
void log_error(const char *format, ...) __attribute__((format(printf, 1, 2)));
void log_warning(const char *format, ...) __attribute__((format(printf, 1, 2)));
void log_info(const char *format, ...) __attribute__((format(printf, 1, 2)));

#endif
