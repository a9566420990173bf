DROP TABLE scaler_certificate;
DROP TABLE voided_numbers;
ALTER TABLE ticket
    DROP COLUMN late_for,
    DROP COLUMN device_clock_ahead_seconds,
    DROP COLUMN device_time_sent,
    DROP COLUMN device_time_measured;
